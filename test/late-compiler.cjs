/**
 * Loaded before the tests and every program that they start: code is compiled to machine code later than usual. Most of
 * them live for half a second, in which the compiler costs a fifth of the processor time and its work is hardly used.
 */
require('node:v8').setFlagsFromString('--interrupt-budget=400000')
