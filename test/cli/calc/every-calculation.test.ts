import { strict as assert } from "node:assert";
import { CALCULATIONS } from "../../../server/src/cli/calc/index.ts";
import { inFolder, spadework } from "../../support/command-line.ts";
import { refused, type Json } from "./run-calc.ts";

describe("spadework calc", () => {
  it("does every example of its help, in text with its source and in JSON", async () => {
    await inFolder(
      { "sample-workspace/weather/home-yard.weather.csv": "date,tmin_c,tmax_c\n2026-05-15,5,15\n2026-08-31,5,15\n" },
      async (folder) => {
        for (const { name, examples } of CALCULATIONS) {
          assert.ok(examples.length > 0, name);
          for (const example of examples) {
            const args = [...example.matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, bare]) => quoted ?? bare!).slice(1);
            const asText = await spadework([...args, "--format", "text"], { workingFolder: folder });
            assert.equal(asText.code, 0, `${example}: ${asText.error}`);
            assert.match(asText.out, /^ {2}Source: ./m, example);
            assert.doesNotMatch(asText.out, /undefined|NaN/);
            const asJson = await spadework([...args, "--format", "json"], { workingFolder: folder });
            assert.equal((JSON.parse(asJson.out) as Json).calculation, name);
          }
        }
      },
    );
  });

  it("has help for itself and for each calculation", async () => {
    const general = await spadework(["calc", "--help"]);
    assert.equal(general.code, 0);
    for (const { name } of CALCULATIONS) {
      assert.match(general.out, new RegExp(`^ {2}${name} `, "m"));
      for (const args of [
        ["calc", name, "--help"],
        ["calc", name, "-h"],
        ["help", "calc", name],
      ]) {
        const { code, out } = await spadework(args);
        assert.equal(code, 0);
        assert.match(out, new RegExp(`^Usage: spadework calc ${name} `));
        assert.match(out, /^Examples?:\n {2}spadework calc /m);
      }
    }
  });

  it("says in one line what is wrong", async () => {
    for (const [args, said] of [
      ["", /calc is followed by one of plants, detect/],
      ["plantz", /no calc command plantz; did you mean plants\?/],
      ["plants --json", /no option --json; did you mean --format json\?/],
      ["plants --incidance 2%", /no option --incidance; did you mean --incidence\?/],
      ["plants --incidence", /--incidence needs a value: --incidence SHARE/],
      ["plants --incidence --confidence 95%", /--incidence needs a value/],
      ["plants --incidence 2", /--incidence takes a percentage; write 2% if that is meant/],
      ["plants --incidence -2%", /design incidence must be from 0 to 100 %, not -2 %/],
      ["plants --incidence two", /takes a percentage such as 2%.*"two" is none/],
      ["plants --incidence 0", /nothing to find/],
      ["plants --incidence 150%", /from 0 to 100 %, not 150 %/],
      ["plants --confidence 100%", /No number of plants|no number of plants/],
      ["plants --population -5", /-5/],
      ["plants --population 10 --incidence 1%", /less than one plant/],
      ["plants 60", /"60" is not understood here/],
      ["plants --region nowhere", /no region pack is called "nowhere"/],
      ["plants --region ../nowhere.region.yaml", /no file "nowhere\.region\.yaml"/],
      ["plants --correlation 0.1 --population 100", /leave out --population/],
      ["detect", /by one of --plants, --stops and --parts/],
      ["detect --plants 1e400", /--plants takes a number/],
      ["detect --plants 60.5", /whole number/],
      ["detect --stops 1000000x1000000", /from 1 to 9999 stops/],
      ["detect --stops 9000x10000", /at most 1,000,000 plants/],
      ["detect --stops 10xx10", /--stops/],
      ["detect --parts 1:50%:10", /must make up 100 %/],
      ["detect --parts 1:50%", /risk:share:plants/],
      ["severity 80 -1 6 4", /rated 1 must be a whole number of 0 or more, not -1/],
      ["severity 80 10", /takes the plants rated 0, 1, 2 and 3.*2 numbers were given/],
      ["severity 0 0 0 0", /no plants were rated/],
      ["interval 5", /a count of a total is written 81\/263/],
      ["interval 5/0", /must be a whole number of 1 or more/],
      ["interval 5/4", /5 found are more than the 4/],
      ["interval 5/4/3", /is written 81\/263/],
      ["mix --litres 3", /how strong the stock is/],
      ["mix --stock 5.25 --litres 3", /write 5\.25% if that is meant/],
      ["mix --stock 5,25% --litres 3", /write 5\.25% with a point/],
      ["mix --stock 5.25%", /how much to mix/],
      ["mix --stock 5.25% --stock-litres 3", /both --stock-litres and --water-litres/],
      ["mix --stock 5.25% --recipe plenty", /no recipe that is understood/],
      ["mix --stock 0% --litres 3", /above 0 %/],
      ["spores", /takes one count of spores/],
      ["spores 1000", /how many years/],
      ["spores -5 --years 1", /0 or more, not -5/],
      ["spores 1000 --years 1 --model slow", /--model is one of exponential, fast then slow/],
      ["free --plants 10 --detection 50%", /either --plants or --detection/],
      ["free --plants 10 --introduction 0,0", /2 seasons and the digs have 1/],
      ["free --prior 100% --detection 100%", /certainly infested before 1, yet digs that could not have missed it/],
      ["plants --population 1,000", /write 1000 without a comma/],
      ["mix --stock 5.25% --powder 35% --litres 3", /either --stock or --powder, not both/],
      [
        "mix --stock 5.25% --litres 3 --stock-litres 1 --water-litres 2",
        /takes --stock-litres and --water-litres alone/,
      ],
      ["mix --powder 35% --litres 3 --recipe 1:10", /a powder takes --litres and --strength/],
      ["mix --stock 5.25% --litres 0", /amount to mix must be a number above 0, not 0$/m],
      ["spores 1000 --years 1 --half-life 2 --model exponentiall", /--model is one of/],
      ["pool 2/10 --size 5 --limit 500", /--limit goes with --spores/],
      ["degree-days test", /test is a folder; name a weather file/],
      ...(process.platform === "win32" ? [] : [["degree-days /dev/zero", /no plain file/] as const]),
      ["pool 2/10", /how many plants or cores/],
      ["pool 2/10 --size 0", /whole number of 1 or more/],
      ["pool 12/10 --size 5", /12 positive pools are more than the 10/],
      ["degree-days x --method 3", /--method is one of 1, 2/],
    ] as const) {
      assert.match(await refused(...args.split(" ").filter((arg) => arg !== "")), said, args);
    }
  });

  it("never prints what could steer a terminal", async () => {
    const { error } = await spadework(["calc", "mix", "--stock", "5.25%", "--recipe", "\u001B[2J"]);
    assert.ok(!error.includes("\u001B"), JSON.stringify(error));
  });
});
