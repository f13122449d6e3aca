package chart

import "testing"

// A name at a tick has three tenths of a wide figure, and more of a narrow one; it is cut in its
// middle between letters, of whatever bytes.
func TestNamesCut(t *testing.T) {
	f, err := loadFonts()
	if err != nil {
		t.Fatal(err)
	}
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
