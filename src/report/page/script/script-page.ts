import { alongCursors } from './script-along.ts'
import { clockSwitch } from './script-clock.ts'
import { copyButtons, openForPaper } from './script-copy.ts'
import { figureSaver } from './script-figures.ts'
import { placeInFrame } from './script-frame.ts'
import { matrices } from './script-matrix.ts'
import { pairsTable } from './script-pairs.ts'
import { unitsSwitch } from './script-units.ts'

/**
 * Where the page's script starts: it adds units, sorting, pointing and copying to a page that is whole without it. The
 * build makes one text of this file and of what it imports, see script.ts.
 */
document.documentElement.classList.add('scripted')
pairsTable()
matrices()
figureSaver()
copyButtons()
openForPaper()
unitsSwitch()
clockSwitch()
alongCursors()
placeInFrame()
