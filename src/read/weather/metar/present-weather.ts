/**
 * Present weather codes as METAR groups, as near as a METAR can say it. Codes of weather that is over, of clouds and of
 * distant phenomena are ''.
 * @source WMO-No. 306, Manual on Codes, vol. I.1: code tables 4677 (manned), 4680 (automatic), 4678 (METAR w'w'); from memory
 */
const MANNED = codeTable(`
  04 FU  05 HZ  06 DU  07 SA  08 PO  10 BR  11 BCFG  12 MIFG  17 TS  18 SQ  19 FC  30 DS  31 DS  32 DS  33 +DS
  34 +DS  35 +DS  36 DRSN  37 DRSN  38 BLSN  39 BLSN  40 VCFG  41 BCFG  42 FG  43 FG  44 FG  45 FG  46 FG  47 FG
  48 FZFG  49 FZFG  50 -DZ  51 -DZ  52 DZ  53 DZ  54 +DZ  55 +DZ  56 -FZDZ  57 FZDZ  58 -DZRA  59 DZRA  60 -RA
  61 -RA  62 RA  63 RA  64 +RA  65 +RA  66 -FZRA  67 FZRA  68 -RASN  69 RASN  70 -SN  71 -SN  72 SN  73 SN
  74 +SN  75 +SN  76 IC  77 SG  78 IC  79 PL  80 -SHRA  81 SHRA  82 +SHRA  83 -SHRASN  84 SHRASN  85 -SHSN
  86 SHSN  87 -SHGS  88 SHGS  89 -SHGR  90 SHGR  91 -RA  92 RA  93 -SN  94 SN  95 TSRA  96 TSGR  97 +TSRA
  98 TSDS  99 +TSGR
`)

const AUTOMATIC = codeTable(`
  04 HZ  05 HZ  10 BR  11 IC  18 SQ  27 BLSN  28 BLSN  29 BLSN  30 FG  31 BCFG  32 FG  33 FG  34 FG  35 FZFG
  40 UP  41 UP  42 +UP  43 RA  44 +RA  45 SN  46 +SN  47 FZRA  48 +FZRA  50 DZ  51 -DZ  52 DZ  53 +DZ  54 -FZDZ
  55 FZDZ  56 +FZDZ  57 -DZRA  58 DZRA  60 RA  61 -RA  62 RA  63 +RA  64 -FZRA  65 FZRA  66 +FZRA  67 -RASN
  68 RASN  70 SN  71 -SN  72 SN  73 +SN  74 -PL  75 PL  76 +PL  77 SG  78 IC  80 SHRA  81 -SHRA  82 SHRA
  83 +SHRA  84 +SHRA  85 -SHSN  86 SHSN  87 +SHSN  89 GR  90 TS  91 TS  92 TSRA  93 TSGR  94 +TS  95 +TSRA
  96 +TSGR  99 FC
`)

// The parts of group AU, numbered in the order of their code tables.
const INTENSITY = ['', '-', '', '+', 'VC']
const DESCRIPTOR = ['', 'MI', 'PR', 'BC', 'DR', 'BL', 'SH', 'TS', 'FZ']
const PRECIPITATION = ['', 'DZ', 'RA', 'SN', 'SG', 'IC', 'PL', 'GR', 'GS', 'UP']
const OBSCURATION = ['', 'BR', 'FG', 'FU', 'VA', 'DU', 'SA', 'HZ', 'PY']
const OTHER = ['', 'PO', 'SQ', 'FC', 'SS', 'DS']

/** Code table 4677, two digits. */
export const mannedWeather = (code: string): string => MANNED.get(code) ?? ''

/** Code table 4680, two digits. */
export const automaticWeather = (code: string): string => AUTOMATIC.get(code) ?? ''

/** A part that is continued by the next one: together they make one METAR group. */
const CONTINUED = '2'

/** Groups AU in their order: intensity, descriptor, precipitation (two digits), obscuration, other, combination. */
export function reportedWeather(groups: string[][]): string {
  const part = (names: string[], code: string) => names[Number(code)] ?? ''
  const words: { sign: string; what: string }[] = []
  let continued = false
  for (const [intensity, descriptor, precipitation, obscuration, other, combination] of groups) {
    if (!continued) words.push({ sign: '', what: '' })
    const word = words[words.length - 1]
    word.sign ||= part(INTENSITY, intensity)
    word.what += part(DESCRIPTOR, descriptor) + part(PRECIPITATION, precipitation)
    word.what += part(OBSCURATION, obscuration) + part(OTHER, other)
    continued = combination === CONTINUED
  }
  return words.map(({ sign, what }) => sign + what).join(' ')
}

function codeTable(pairs: string): Map<string, string> {
  return new Map([...pairs.matchAll(/(\d\d) (\S+)/g)].map(([, code, groups]) => [code, groups]))
}
