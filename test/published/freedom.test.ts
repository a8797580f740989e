// Martin, Cameron & Greiner 2007, Prev. Vet. Med. 79:71 (from memory): P(free) = (1 − π)/(1 − π·Se), and
// π' = 1 − P(free)·(1 − p_intro). Worked by hand below.
import { freedomChain, probabilityOfIntroduction } from "../../server/src/agronomy/freedom.ts";
import { near, valueOf } from "../agronomy/value-of.ts";

describe("Martin, Cameron & Greiner 2007", () => {
  it("one season from even odds: Se = 0.95 gives 0.5 / 0.525", () => {
    const chain = valueOf(freedomChain(0.5, [{ season: 2026, introduction: 0, detection: 0.95 }]));
    near(chain.probabilityFree, 0.5 / 0.525, 1e-15);
  });

  it("three seasons with introduction", () => {
    // π1 = .5; P1 = .5/(1 − .5·.8) = .8333…; π2 = 1 − .8333…·.99 = .175; P2 = .825/(1 − .175·.8) = .959302…;
    // π3 = 1 − .959302…·.98; nothing dug in the third, so P3 = 1 − π3.
    const chain = valueOf(
      freedomChain(0.5, [
        { season: 2024, introduction: 0, detection: 0.8 },
        { season: 2025, introduction: 0.01, detection: 0.8 },
        { season: 2026, introduction: 0.02, detection: 0 },
      ]),
    );
    near(chain.seasons[1].priorInfested, 0.175, 1e-12);
    near(chain.seasons[1].probabilityFree, 0.825 / 0.86, 1e-12);
    near(chain.probabilityFree, (0.825 / 0.86) * 0.98, 1e-12);
  });

  it("introduction by two carriages: 1 − Π(1 − share·p)", () => {
    const found = valueOf(probabilityOfIntroduction([{ shareOfSoilLeft: 1 }, { shareOfSoilLeft: 0.1 }], 0.2));
    near(found.probability, 1 - 0.8 * 0.98, 1e-15);
  });
});
