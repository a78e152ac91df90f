declare module 'jstat' {
  interface Distribution<P extends number[]> {
    cdf(x: number, ...parameters: P): number
    inv(p: number, ...parameters: P): number
  }
  const jstat: {
    normal: Distribution<[mean: number, sd: number]>
    studentt: Distribution<[degreesOfFreedom: number]>
    chisquare: Distribution<[degreesOfFreedom: number]>
  }
  export default jstat
}
