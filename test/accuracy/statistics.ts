import { chiSquareTail } from '../../src/base/chi-square.ts'
import { noncentralTCdf } from '../../src/base/noncentral-t.ts'
import { normalQuantile } from '../../src/base/normal.ts'
import { mean, quantile, standardDeviation } from '../../src/base/statistics.ts'
import { studentCdf, studentQuantile } from '../../src/base/student.ts'
import { pooled } from '../../src/claim/model/pooling.ts'
import { powerOf } from '../../src/plan/power.ts'
import { pairs, twoGroups } from '../plan/designs.ts'
import { absolute, type Comparison, relative } from './comparison.ts'

/** NIST StRD Michelso, after the decimal point of 299.xxx; certified mean and standard deviation (from memory). */
const MICHELSON =
  '850 740 900 1070 930 850 950 980 980 880 1000 980 930 650 760 810 1000 1000 960 960 960 940 960 940 880 800 850 880 900 840 830 790 810 880 880 830 800 790 760 800 880 880 880 860 720 720 620 860 970 950 880 910 850 870 840 840 850 840 840 840 890 810 810 820 800 770 760 740 750 760 910 920 890 860 880 720 840 850 850 780 890 840 780 810 760 810 790 810 820 850 870 870 810 740 810 940 950 800 810 870'
    .split(' ')
    .map((thousandths) => 299 + Number(thousandths) / 1000)
/** NIST StRD NumAcc3 (from memory). */
const NUM_ACC_3 = [1000000.2, ...Array.from({ length: 1000 }, (_, i) => (i % 2 === 0 ? 1000000.1 : 1000000.3))]

/** JCGM 100 Table G.2 and any t table: degrees of freedom; one-sided 0.95, 0.975, 0.995 (from memory, recomputed). */
const STUDENT: [number, number[]][] = [
  [1, [6.314, 12.706, 63.657]],
  [2, [2.92, 4.303, 9.925]],
  [3, [2.353, 3.182, 5.841]],
  [5, [2.015, 2.571, 4.032]],
  [10, [1.812, 2.228, 3.169]],
  [20, [1.725, 2.086, 2.845]],
  [120, [1.658, 1.98, 2.617]],
]

/** scipy 1.10.1: t, degrees of freedom, probability. */
const STUDENT_CDF = [
  [-12, 10, 1.460704412384992e-7],
  [-2.44968, 17.7765, 0.01245128040337819],
  [-1.96, 1e4, 0.025011760115916513],
  [-1, 1e6, 0.15865537491678916],
]

/** scipy 1.10.1, nct.cdf: t, degrees of freedom, noncentrality, probability. */
const NONCENTRAL = [
  [-2, 1, -1.5, 0.5089801],
  [0.7, 1, 0.5, 0.51763402],
  [2.2, 3, 2, 0.49896635],
  [5, 3, 4, 0.58626254],
  [0.7, 8.5, 0.5, 0.57028899],
  [5, 8.5, 4, 0.70350661],
  [2.2, 40, 2, 0.57169364],
  [5, 300, 4, 0.83540056],
]

/** Critical values of chi-square, NIST/SEMATECH e-Handbook 1.3.6.7.4 (from memory): degrees of freedom, x, tail. */
const CHI_SQUARE = [
  [1, 3.841, 0.05],
  [2, 5.991, 0.05],
  [3, 7.815, 0.05],
  [10, 18.307, 0.05],
  [1, 6.635, 0.01],
  [3, 11.345, 0.01],
]

/** BCG trials, R metadat dat.bcg (from memory): cases and others, vaccinated and control. */
const BCG =
  '4 119 11 128;6 300 29 274;3 228 11 209;62 13536 248 12619;33 5036 47 5761;180 1361 372 1079;8 2537 10 619;505 87886 499 87892;29 7470 45 7232;17 1699 65 1600;186 50448 141 27197;5 2493 3 2338;27 16886 29 17825'
    .split(';')
    .map((row) => row.split(' ').map(Number))
const trialVariances = BCG.map(([a, b, c, d]) => 1 / a - 1 / (a + b) + 1 / c - 1 / (c + d))
const trials = pooled(
  BCG.map(([a, b, c, d]) => Math.log(a / (a + b) / (c / (c + d)))),
  trialVariances,
  1e-9,
)
const trialsSd = Math.sqrt(trials.weights.reduce((sum, w, i) => sum + w * w * trialVariances[i], 0))

const STATISTICS: Comparison[] = [
  {
    key: 'mean.strd',
    quantity: 'mean',
    reference: 'NIST StRD Michelso and NumAcc3, certified',
    unit: 'relative',
    deviations: relative([
      [mean(MICHELSON), 299.8524],
      [mean(NUM_ACC_3), 1000000.2],
    ]),
    limit: 1e-14,
    reason: 'what double precision holds',
  },
  {
    key: 'standard-deviation.strd',
    quantity: 'standard deviation',
    reference: 'NIST StRD Michelso and NumAcc3, certified',
    unit: 'relative',
    deviations: relative([
      [standardDeviation(MICHELSON), 0.0790105478190518],
      [standardDeviation(NUM_ACC_3), 0.1],
    ]),
    limit: 1e-9,
    reason: 'the one-pass formula would be off by 1 %',
  },
  {
    key: 'quantile.order',
    quantity: 'quantile of a sample',
    reference: 'Hyndman and Fan, definition 7, on 0, 1, … n − 1: share·(n − 1)',
    unit: 'of the step',
    deviations: absolute(
      [5, 40, 401].flatMap((n) =>
        [0, 0.05, 0.317, 0.5, 0.95, 1].map((share) => {
          // Shuffled by a step that shares no factor with n.
          const values = Float64Array.from({ length: n }, (_, i) => (i * 17) % n)
          return [quantile(values, share), share * (n - 1)] as const
        }),
      ),
    ),
    limit: 1e-12,
    reason: 'exact but for rounding',
  },
  {
    key: 'student.table',
    quantity: 'quantile of Student’s t',
    reference: 'JCGM 100 Table G.2 and any t table',
    unit: 't',
    deviations: absolute(
      STUDENT.flatMap(([df, wants]) =>
        wants.map((want, i) => [studentQuantile([0.95, 0.975, 0.995][i], df), want] as const),
      ),
    ),
    limit: 5.1e-4,
    reason: 'three decimals are printed',
  },
  {
    key: 'student.scipy',
    quantity: 'probability of Student’s t',
    reference: 'scipy 1.10.1',
    unit: 'probability',
    deviations: absolute(STUDENT_CDF.map(([t, df, want]) => [studentCdf(t, df), want])),
    limit: 1e-7,
    reason: 'so accurate is the library within (jstat)',
  },
  {
    key: 'noncentral-t.scipy',
    quantity: 'probability of the noncentral t, for the number of runs',
    reference: 'scipy 1.10.1, Boost’s series',
    unit: 'probability',
    deviations: absolute(NONCENTRAL.map(([t, df, delta, want]) => [noncentralTCdf(t, df, delta), want])),
    limit: 1e-6,
    reason: 'eight digits are given; the rule is good to 1e-6',
  },
  {
    key: 'normal.table',
    quantity: 'quantile of the normal distribution',
    reference: 'any table, ten digits (from memory)',
    unit: 'standard deviations',
    deviations: absolute([
      [normalQuantile(0.95), 1.644853627],
      [normalQuantile(0.975), 1.959963985],
      [normalQuantile(0.995), 2.575829304],
    ]),
    limit: 1e-7,
    reason: 'so accurate is the library within (jstat)',
  },
  {
    key: 'chi-square.table',
    quantity: 'tail of chi-square',
    reference: 'NIST/SEMATECH e-Handbook 1.3.6.7.4',
    unit: 'probability',
    deviations: absolute(CHI_SQUARE.map(([df, x, want]) => [chiSquareTail(x, df), want])),
    limit: 2e-5,
    reason: 'x is printed to three decimals',
  },
  {
    key: 'power.r',
    quantity: 'power of a t test',
    reference: 'R power.t.test: 22.02110 a group at power 0.90 (from memory), and others by its formula',
    unit: 'probability',
    deviations: absolute([
      [powerOf(1, twoGroups(22.0211, 1)), 0.9],
      [powerOf(0.5, twoGroups(63.766, 1)), 0.8],
      [powerOf(0.8, twoGroups(25.525, 1)), 0.8],
      [powerOf(0.5, pairs(33.367, 1)), 0.8],
      [powerOf(1, pairs(9.938, 1)), 0.8],
    ]),
    limit: 5e-5,
    reason: 'sizes are rounded to three decimals',
  },
  {
    key: 'pooling.metafor',
    quantity: 'pooled effect and its 95 % interval, without a spread between roads',
    reference: 'R metafor on the BCG trials',
    unit: 'log ratio',
    deviations: absolute([
      [trials.estimate, -0.4303],
      [trials.estimate - 1.959964 * trialsSd, -0.5097],
      [trials.estimate + 1.959964 * trialsSd, -0.3509],
    ]),
    limit: 5.1e-5,
    reason: 'four decimals are printed',
  },
]
export default STATISTICS
