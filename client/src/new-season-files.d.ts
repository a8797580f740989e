/** What the form asks. Names are the keeper's own words; ids are made of them. */
export interface SeasonAnswers {
    readonly season: number;
    /** The id of a region pack. */
    readonly region: string;
    readonly grower: string;
    readonly field: string;
    /** What grows on the field this season. */
    readonly crop: string;
    readonly crewMember: string;
}
/** The texts of a new book's files by their names; they check clean. */
export declare function newSeasonFiles({ season, region, grower, field, crop, crewMember, }: SeasonAnswers): Map<string, string>;
/** An id of a name, as the format has them: `Mélanie's Farm` gives `melanie-s-farm`. */
export declare function idOf(name: string, otherwise: string): string;
