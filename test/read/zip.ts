import { crc32, deflateRawSync } from 'node:zlib'

export interface ZippedFile {
  name: string
  content: string | Uint8Array
  stored?: boolean
  /** What the archive says of the unpacked length; the truth where it is left out. */
  statedBytes?: number
  isEncrypted?: boolean
}

/** A ZIP archive made by hand, so that it can lie. @source PKWARE, APPNOTE.TXT 6.3.10, section 4.3 */
export function zipOf(files: ZippedFile[]): Uint8Array {
  const locals: Buffer[] = []
  const centrals: Buffer[] = []
  let at = 0
  for (const { name, content, stored = false, statedBytes, isEncrypted = false } of files) {
    const plain = Buffer.from(content as string)
    const packed = stored ? plain : deflateRawSync(plain)
    const fixed = Buffer.alloc(26)
    fixed.writeUInt16LE(20, 0)
    fixed.writeUInt16LE(isEncrypted ? 1 : 0, 2)
    fixed.writeUInt16LE(stored ? 0 : 8, 4)
    fixed.writeUInt32LE(0x21 << 16, 6)
    fixed.writeUInt32LE(checksum(plain), 10)
    fixed.writeUInt32LE(packed.length, 14)
    fixed.writeUInt32LE(statedBytes ?? plain.length, 18)
    fixed.writeUInt16LE(Buffer.byteLength(name), 22)
    const local = Buffer.concat([Buffer.from('PK\x03\x04'), fixed, Buffer.from(name), packed])
    const rest = Buffer.alloc(14)
    rest.writeUInt32LE(at, 10)
    centrals.push(Buffer.concat([Buffer.from('PK\x01\x02\x14\x00'), fixed, rest, Buffer.from(name)]))
    locals.push(local)
    at += local.length
  }
  const directory = Buffer.concat(centrals)
  const end = Buffer.alloc(22)
  end.write('PK\x05\x06')
  end.writeUInt16LE(files.length, 8)
  end.writeUInt16LE(files.length, 10)
  end.writeUInt32LE(directory.length, 12)
  end.writeUInt32LE(at, 16)
  return new Uint8Array(Buffer.concat([...locals, directory, end]))
}

/** Node 20.15 and later have the checksum. */
const checksum = (bytes: Buffer): number => crc32(bytes)

const MAIN = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main'
const RELATIONS = 'http://schemas.openxmlformats.org/package/2006/relationships'
const OFFICE = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships'
const TYPES = 'application/vnd.openxmlformats-officedocument.spreadsheetml'

/** The smallest workbook with one sheet of these rows, as XML. @source ECMA-376 part 1, 18.2 and 18.3 */
export function xlsxOf(rows: string, more: ZippedFile[] = [], sheet: Partial<ZippedFile> = {}): Uint8Array {
  return zipOf([
    {
      name: '[Content_Types].xml',
      content: `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" ContentType="${TYPES}.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="${TYPES}.worksheet+xml"/></Types>`,
    },
    {
      name: '_rels/.rels',
      content: `<Relationships xmlns="${RELATIONS}"><Relationship Id="r1" Type="${OFFICE}/officeDocument" Target="xl/workbook.xml"/></Relationships>`,
    },
    {
      name: 'xl/workbook.xml',
      content: `<workbook xmlns="${MAIN}" xmlns:r="${OFFICE}"><sheets><sheet name="Drives" sheetId="1" r:id="r1"/></sheets></workbook>`,
    },
    {
      name: 'xl/_rels/workbook.xml.rels',
      content: `<Relationships xmlns="${RELATIONS}"><Relationship Id="r1" Type="${OFFICE}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`,
    },
    {
      name: 'xl/worksheets/sheet1.xml',
      content: `<worksheet xmlns="${MAIN}"><sheetData>${rows}</sheetData></worksheet>`,
      ...sheet,
    },
    ...more,
  ])
}

export const textCell = (text: string): string => `<c t="inlineStr"><is><t>${text}</t></is></c>`
