package coilsheet

import (
	"strings"
	"testing"

	"fitcoil/model/field"
)

const (
	plainSheet = "quantity,value,±,unit\nturns,640,,\nwinding diameter,28,,mm\nwinding length,240,,mm\nwire diameter,0.32,,mm\nball diameter,18,,mm\n"
	primary    = "primary turns,1,,\nprimary diameter,60,,mm\nprimary height,5,,mm\nprimary wire diameter,4,,mm\n"
	ringRows   = "ring diameter,50,,mm\nring thickness,4,,mm\nring height,-5,,mm\n"
	boxRows    = "box bottom,-20,,mm\nbox top,320,,mm\n"
)

// TestMetal: metal around a coil as it is drawn, and what is said where words are missing.
func TestMetal(t *testing.T) {
	ring := field.Ring{Diameter: 0.05, Thickness: 0.004, Height: -0.005}
	floating := ring
	floating.Floating = true
	slit := ring
	slit.Slit = true
	for _, c := range []struct {
		rows    string
		want    field.Metal
		primary field.Potential
		notice  string
	}{
		{ringRows, field.Metal{Ring: floating}, 0, `there is no row "ring": floating and closed, a shorted turn, is taken`},
		{ringRows + "ring,grounded closed,,\n", field.Metal{Ring: ring}, 0, ""},
		{ringRows + "Ring,Closed; GROUNDED,,\n", field.Metal{Ring: ring}, 0, ""},
		{ringRows + "ring,Slit; Grounded,,\n", field.Metal{Ring: slit}, 0, ""},
		{ringRows + "ring,floating closed,,\n", field.Metal{Ring: floating}, 0, ""},
		{"plate diameter,200,,mm\nplate height,-3,,mm\n", field.Metal{Plate: field.Plate{Diameter: 0.2, Height: -0.003}}, 0, ""},
		{"plate diameter,200,,mm\nplate height,30,,mm\nplate hole,40,,mm\n", field.Metal{Plate: field.Plate{Diameter: 0.2, Height: 0.03, Hole: 0.04}}, 0, ""},
		{boxRows + "box diameter,150,,mm\n", field.Metal{Box: field.Box{Diameter: 0.15, Bottom: -0.02, Top: 0.32}}, 0, ""},
		{boxRows + "box width,150,,mm\n", field.Metal{Box: field.Box{Diameter: field.SquareBox(0.15), Bottom: -0.02, Top: 0.32}}, 0, ""},
		{primary, field.Metal{}, field.Grounded, ""},
		{primary + "primary metal,grounded,,\n", field.Metal{}, field.Grounded, ""},
		{primary + "primary metal,floating,,\n", field.Metal{}, field.Floating, ""},
	} {
		s := mustRead(t, plainSheet+c.rows)
		coil := s.Coil()
		if coil.Metal != c.want || coil.Primary.Metal != c.primary {
			t.Errorf("%s: %+v, %v", c.rows, coil.Metal, coil.Primary.Metal)
		}
		if err := coil.Check(); err != nil {
			t.Errorf("%s: %v", c.rows, err)
		}
		if got := strings.Join(s.Notices, "|"); (c.notice == "") != (got == "") || !strings.Contains(got, c.notice) {
			t.Errorf("%s: notices %q", c.rows, got)
		}
	}
}

// TestBrokenMetal: rows that are missing or can't be are named.
func TestBrokenMetal(t *testing.T) {
	for rows, says := range map[string]string{
		"ring diameter,50,,mm\n":                           `coil.csv:7: a ring is drawn here, but there is no row "ring thickness" and no row "ring height": add it, or take this one away`,
		"ring,grounded slit,,\n":                           `coil.csv:7: a ring is drawn here, but there is no row "ring diameter" and no row`,
		"plate hole,50,,mm\n":                              `a plate is drawn here, but there is no row "plate diameter" and no row "plate height"`,
		boxRows:                                            `a box is drawn here, but there is no row "box diameter"`,
		"box width,150,,mm\nbox top,320,,mm\n":             `a box is drawn here, but there is no row "box bottom"`,
		boxRows + "box width,150,,mm\nbox diameter,1,,m\n": `coil.csv:9: a box is round or square: take the row "box diameter" or "box width" away`,
		ringRows + "ring,grounded,,\n":                     `read "grounded", expected grounded or floating, and closed or slit; a closed ring is a shorted turn, a slit one carries no current`,
		ringRows + "ring,Earthed  OPEN,,\n":                `read "Earthed  OPEN", expected grounded or floating, and closed or slit`,
		ringRows + "ring,earthed open,,\n":                 `read "earthed open", expected grounded or floating, and closed or slit`,
		ringRows + "ring,grounded floating,,\n":            `read "grounded floating", expected grounded or floating, and closed or slit`,
		primary + "primary metal,closed,,\n":               `read "closed", expected grounded or floating`,
		boxRows + "box width,150,,m\n":                     `coil.csv:9:2 (column B, "value"): read "150 m", expected a box diameter from 1 mm to 50 m; is the unit right? 150 mm would fit`,
		"plate diameter,200,,mm\nplate height,-3,,km\n":    `unit`,
		"plate diameter,200,,mm\nplate height,-30,,m\n":    `expected a plate height from -5.36 m to 5.36 m, 20 times the size of the coil; is the unit right? -30 mm would fit`,
	} {
		if s, err := Read(strings.NewReader(plainSheet+rows), "coil.csv"); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v, %v\nwant %s", rows, s, err, says)
		}
	}
	for rows, says := range map[string]string{
		"primary turns,1,,\nprimary diameter,28.5,,mm\nprimary height,5,,mm\nprimary wire diameter,1,,mm\n": "the primary touches the winding",
		"ring diameter,29,,mm\nring thickness,2,,mm\nring height,5,,mm\n":                                   "the ring touches the coil",
		"plate diameter,200,,mm\nplate height,30,,mm\n":                                                     "the plate touches the coil",
		"plate diameter,200,,mm\nplate height,255,,mm\n":                                                    "the plate touches the coil",
		"box diameter,150,,mm\nbox bottom,-20,,mm\nbox top,250,,mm\n":                                       "the box doesn't hold the coil: what is drawn in it reaches from 0 to 258 mm and is 28.32 mm wide",
	} {
		s := mustRead(t, plainSheet+rows)
		if err := Worded(s.Coil().Check()); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v\nwant %s", rows, err, says)
		}
		if _, err := s.Drawing().Ladder(); err == nil && !strings.Contains(rows, "box") && !strings.Contains(rows, "255") { // it has no ball
			t.Errorf("%s: there is a ladder", rows)
		}
	}
}

// TestFormerTooWide: the bounds that are told would do.
func TestFormerTooWide(t *testing.T) {
	rows := "former outer diameter,28,,mm\nformer inner diameter,25,,mm\nformer permittivity,2.3,,\n"
	const want = `coil.csv:7:2 (column B, "value"): read "28 mm", expected a former outer diameter from 25 mm to 27.6 mm, to lie inside the turns and outside its own bore`
	if _, err := Read(strings.NewReader(plainSheet+rows), "coil.csv"); err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("%v, want %s", err, want)
	}
}
