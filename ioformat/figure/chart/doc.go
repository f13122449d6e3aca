// Package chart draws figures.
//
// A [Figure] is plain data: what is drawn, in the units of its axes, with every
// label and tick, in words for those who can't see it, and as a table. One
// renderer turns it into SVG, PNG or PDF. The same figure gives the same bytes:
// no date, no random name.
//
// The package decides once on fonts, sizes, colours and shapes, for paper and
// for a dark screen, and it knows nothing of coils. It believes that colours
// must do for all kinds of colour vision, that text is never smaller than 9 points, and
// that a figure is as tall as its content needs: titles, keys, axes and notes
// have rows of their own, so that nothing lies over the data.
//
// It refuses to draw an empty panel: a panel without marks says why in words.
// Letters that the font lacks are shown as question marks rather than dropped,
// because 10⁻⁶ without its minus would be a lie.
package chart
