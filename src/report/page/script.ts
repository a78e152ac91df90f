import { QUANTITIES } from '../../base/quantities.ts'
import { alongCursor } from './script-along.ts'
import { copyAndPrint } from './script-copy.ts'
import { pairsTable } from './script-pairs.ts'
import { unitsSwitch, valueWriter } from './script-values.ts'

/**
 * The page's only script, put together from the text of checked functions: it adds units, sorting, hovering and copying
 * to a page that is whole without it, and its hash stands in the page's security policy.
 */
export const SCRIPT = `'use strict';
document.documentElement.classList.add('scripted');
const quantities = ${JSON.stringify(QUANTITIES)};
const show = (${valueWriter})(document.documentElement, quantities);
(${pairsTable})(document);
(${copyAndPrint})(document);
(${unitsSwitch})(document, quantities, show);
(${alongCursor})(document, show);
`
