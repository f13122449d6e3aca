package chart

import (
	"math"
	"testing"

	"fitcoil/internal/must"
)

// A name at a tick has three tenths of a wide figure, and more of a narrow one; it is cut in its
// middle between letters, of whatever bytes.
func TestNamesCut(t *testing.T) {
	f := must.Get(loadFonts()).In(t)
	const name = "Ωωψχφ third try Ωωψχφ"
	whole := f.textWidth(name, smallSize, false)
	if got := f.shorten(name, whole, smallSize); got != name {
		t.Errorf("%q", got)
	}
	for width, want := range map[float64]string{whole - 0.01: "Ωωψχφ thi…try Ωωψχφ", 40: "Ωωψ…χφ", 1: "…"} {
		if got := f.shorten(name, width, smallSize); got != want {
			t.Errorf("within %g of %g: %q", width, whole, got)
		}
	}
	long := ""
	for range 60 {
		long += "n"
	}
	for width, share := range map[float64]float64{480: 0.3, 479: 0.42, 300: 0.42} {
		l := &layout{width: width}
		got := l.fit(f, long)
		if took := f.textWidth(got, smallSize, false) / width; took > share || took < share-0.03 {
			t.Errorf("in a figure of %g it takes %g", width, took)
		}
	}
}

// A row of panels without titles and labels has no room for them above it.
func TestRowsWithoutHeads(t *testing.T) {
	panel := func() Panel {
		return Panel{Height: 50, X: Axis{Max: 1, Unshown: true}, Y: Axis{Max: 1, Unshown: true}, Lines: []Line{{Points: []XY{{0, 0}, {1, 1}}}}}
	}
	fonts := must.Get(loadFonts()).In(t)
	titled, labelled := panel(), panel()
	titled.Title, labelled.Y.Label, labelled.Y.Unshown = "title", "label", false
	l := &layout{width: 480}
	f := &Figure{Across: 2, Panels: []Panel{panel(), panel(), panel(), titled, labelled, panel(), panel()}}
	end := l.matrix(f, fonts, box{left: 0, right: 407}, 100)
	head := lineHeight(smallSize) + 2
	for i, want := range []float64{100, 100, 157 + head, 157 + head, 214 + 2*head, 214 + 2*head, 271 + 2*head} {
		if got := l.panels[i].frame; math.Abs(got.top-want) > 1e-9 || math.Abs(got.bottom-want-50) > 1e-9 || got.left != float64(i%2)*207 || got.right != got.left+200 {
			t.Errorf("panel %d in %+v, want it at %g", i, got, want)
		}
	}
	if math.Abs(end-321-2*head) > 1e-9 {
		t.Errorf("they end at %g", end)
	}
}
