import { crc32 } from 'node:zlib'

/** A ZIP archive of files that are stored as they are. @source PKWARE, APPNOTE.TXT 6.3.10, 4.3.7, 4.3.12, 4.3.16 */
export function storedZip(files: readonly { name: string; text: string }[]): Buffer {
  const parts: Buffer[] = []
  const central: Buffer[] = []
  let at = 0
  for (const { name, text } of files) {
    const [path, body] = [Buffer.from(name), Buffer.from(text, 'latin1')]
    const common = Buffer.alloc(26)
    common.writeUInt16LE(20, 0)
    common.writeUInt32LE(crc32(body), 10)
    common.writeUInt32LE(body.length, 14)
    common.writeUInt32LE(body.length, 18)
    common.writeUInt16LE(path.length, 22)
    const local = Buffer.concat([Buffer.from('PK\x03\x04', 'latin1'), common, path, body])
    const rest = Buffer.alloc(14)
    rest.writeUInt32LE(at, 10)
    central.push(Buffer.from('PK\x01\x02\x14\x00', 'latin1'), common, rest, path)
    parts.push(local)
    at += local.length
  }
  const directory = Buffer.concat(central)
  const end = Buffer.alloc(18)
  end.writeUInt16LE(files.length, 4)
  end.writeUInt16LE(files.length, 6)
  end.writeUInt32LE(directory.length, 8)
  end.writeUInt32LE(at, 12)
  return Buffer.concat([...parts, directory, Buffer.from('PK\x05\x06', 'latin1'), end])
}
