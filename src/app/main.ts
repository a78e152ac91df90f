import { h, render } from 'preact'
import { present } from '../base/present.ts'
import { diskFolder } from './browser/disk-folder.ts'
import { browserMemory } from './browser/memory.ts'
import { computeOfPage } from './compute/program.ts'
import { sampleFiles } from './sample/sample.ts'
import { startApp } from './state/app.ts'
import { Page } from './ui/page.tsx'

const root = present(document.getElementById('app'))
const { content: version } = present(document.querySelector<HTMLMetaElement>('meta[name=version]'))
const app = startApp(computeOfPage(), browserMemory())
const disk = diskFolder()
const openSample = async (): Promise<void> => app.add(await sampleFiles(), 'folder')
const draw = (): void => render(h(Page, { app, state: app.state(), version, openSample, disk }), root)
app.onChange(draw)
draw()
