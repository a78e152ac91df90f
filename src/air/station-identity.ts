import { fullCode } from '../read/weather/stations/stations.ts'

/**
 * One name for a station that services call differently: `CVG` and `KCVG`; `GMI0000EDDF` of GHCNh and `EDDF`; `724210-93814`
 * of ISD and `USW00093814` of GHCNh, which share the WBAN number; `106370-99999` and `GMM00010637`, which share the WMO
 * number; `00433` and `433`. Other names stay, in capitals.
 * @source NOAA NCEI, GHCNh documentation v1.0.1 (identifiers: two letters of country, one of network, eight of the
 *   station); Integrated Surface Data format document (USAF and WBAN numbers; the first five digits of a WMO station's
 *   USAF number are its WMO number)
 */
export function stationIdentity(id: string): string {
  const code = /^\d+$/.test(id.trim()) ? id.trim().replace(/^0+(?=\d)/, '') : fullCode(id)
  const isd = /^([0-9A-Z]{6})-(\d{5})$/.exec(code)
  if (isd) {
    const [, usaf, wban] = isd
    if (wban !== '99999') return `WBAN ${wban}`
    return /^\d{5}0$/.test(usaf) ? `WMO ${usaf.slice(0, 5)}` : code
  }
  const ghcnh = /^[A-Z]{2}([IMW])000(\d{5}|0[A-Z][0-9A-Z]{3})$/.exec(code)
  if (!ghcnh) return code
  const [, network, name] = ghcnh
  if (network === 'W') return `WBAN ${name}`
  return network === 'M' ? `WMO ${name}` : name.slice(1)
}
