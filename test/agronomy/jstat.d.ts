/** What the tests use of jstat, which comes without types. */
declare module "jstat" {
  interface Distribution {
    cdf(x: number, ...parameters: number[]): number;
    inv(p: number, ...parameters: number[]): number;
    pdf(x: number, ...parameters: number[]): number;
  }
  const jstat: {
    beta: Distribution;
    binomial: Distribution;
    hypgeom: Distribution;
    normal: Distribution;
    gammaln(x: number): number;
    betaln(x: number, y: number): number;
  };
  export default jstat;
}
