import { sha256 as nobleSha256 } from '@noble/hashes/sha2.js'
import { Inflate } from 'pako'
import type { Unpacked } from './platform.ts'

/**
 * `platform.ts` for a browser: the same functions with the same results, without `node:`. All of them are synchronous,
 * as their callers are; a browser's own digests and DecompressionStream are not.
 */
export const isUtf8 = (bytes: Uint8Array): boolean => {
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(bytes)
    return true
  } catch {
    return false
  }
}

export const sha256 = (content: string | Uint8Array): Uint8Array =>
  nobleSha256(typeof content === 'string' ? new TextEncoder().encode(content) : content)

export const toHex = (bytes: Uint8Array): string =>
  Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('')

/** So many arguments a call may surely have. */
const PIECE_BYTES = 8192

export function toBase64(bytes: Uint8Array): string {
  let text = ''
  for (let at = 0; at < bytes.length; at += PIECE_BYTES) {
    text += String.fromCharCode(...bytes.subarray(at, at + PIECE_BYTES))
  }
  return btoa(text)
}

/** Like Buffer, and unlike `atob`, ends at what is not base64. */
export function fromBase64(text: string): Uint8Array<ArrayBuffer> {
  const plain = atob(/^[A-Za-z0-9+/]*/.exec(text)?.[0] ?? '')
  const bytes = new Uint8Array(plain.length)
  for (let i = 0; i < bytes.length; i++) bytes[i] = plain.charCodeAt(i)
  return bytes
}

const Z_FINISH = 4
const Z_BUF_ERROR = -5

export function gunzip(packed: Uint8Array, mostBytes: number): Unpacked {
  const pieces: Uint8Array[] = []
  let length = 0
  const inflate = new Inflate({ windowBits: 31 })
  inflate.onData = (chunk) => {
    const piece = chunk as Uint8Array
    length += piece.length
    if (length > mostBytes) throw new TooLarge()
    pieces.push(piece)
  }
  // What it gathers at the end is the same once more.
  inflate.onEnd = (status) => {
    inflate.err = status
  }
  try {
    inflate.push(packed, Z_FINISH)
  } catch (error) {
    if (error instanceof TooLarge) return 'too-large'
    throw error
  }
  if (inflate.err !== 0 && inflate.err !== Z_BUF_ERROR) return 'damaged'
  const bytes = new Uint8Array(length)
  let at = 0
  for (const piece of pieces) {
    bytes.set(piece, at)
    at += piece.length
  }
  return { bytes, isWhole: inflate.err === 0 }
}

export function deflatedLength(bytes: Uint8Array): number | null {
  const inflate = new Inflate({ raw: true })
  inflate.onData = () => undefined
  inflate.onEnd = (status) => {
    inflate.err = status
  }
  inflate.push(bytes, Z_FINISH)
  const { next_in: taken } = (inflate as unknown as { strm: { next_in: number } }).strm
  return inflate.err === 0 ? taken : null
}

export function inflated(bytes: Uint8Array, mostBytes: number): Uint8Array | 'damaged' | 'too-large' {
  const length = inflatedLength(bytes, mostBytes)
  if (typeof length === 'string') return length
  const whole = new Uint8Array(length)
  let filled = 0
  const inflate = new Inflate({ raw: true })
  inflate.onData = (chunk) => {
    whole.set(chunk as Uint8Array, filled)
    filled += (chunk as Uint8Array).length
  }
  inflate.push(bytes, Z_FINISH)
  return whole
}

export function inflatedLength(bytes: Uint8Array, mostBytes: number): number | 'damaged' | 'too-large' {
  let length = 0
  const inflate = new Inflate({ raw: true })
  inflate.onData = (chunk) => {
    length += (chunk as Uint8Array).length
    if (length > Math.max(1, mostBytes)) throw new TooLarge()
  }
  inflate.onEnd = (status) => {
    inflate.err = status
  }
  try {
    inflate.push(bytes, Z_FINISH)
  } catch (error) {
    if (error instanceof TooLarge) return 'too-large'
    throw error
  }
  return inflate.err === 0 ? length : 'damaged'
}

class TooLarge extends Error {}

export function writeCodeUnits(text: string, codes: Uint16Array): void {
  for (let i = 0; i < text.length; i++) codes[i] = text.charCodeAt(i)
}
