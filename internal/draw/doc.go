// SPDX-License-Identifier: Apache-2.0

// Package draw makes the program's drawings once, for page and paper alike.
//
// A drawing is a value with a Draw method that takes a [Canvas]. There are two
// canvases: [SVG] for pages, written by hand so that the text is short, the
// same every time and free of inline style; and [PDF], on a page of a document
// that the caller owns. Start with [Strip], the drawing of the crankshaft.
//
// # Units
//
// A canvas has its origin at the top left, x to the right, y down. Its unit is
// the CSS pixel at the size the drawing was made for; [PDF] scales the whole
// drawing into the box that it was given. Angles are in degrees.
//
// # Colour
//
// Nothing names a colour. A shape has an [Ink], which says what it means: what
// fits, what is out, what waits. On a page an ink is a class, coloured by
// [Stylesheet] from custom properties, so that light and dark need one drawing.
// A drawing that leaves the page carries the colours of a [Theme].
//
// A verdict is never a colour alone: each has its own mark, see [Mark].
package draw
