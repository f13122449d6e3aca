package figure

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font/sfnt"

	"fitcoil/internal/must"
	"fitcoil/ioformat/figure/chart"
	"fitcoil/model"
	"fitcoil/model/estimation"
	"fitcoil/model/readings"
)

// gallery draws what there is to draw, from good logs and odd ones.
func gallery(t *testing.T) map[string]Figure {
	all := map[string]Figure{}
	add := func(what string, list ...Figure) {
		for _, f := range list {
			all[what+": "+f.Name] = f
		}
	}
	add("suspicious", Set(suspicious(t))...)
	hands := night()[:6]
	for i := range 20 {
		hands = append(hands, bench{hand: 0.03 + 0.02*float64(i)})
	}
	long := lighthouse(2e-4, night())
	for i := range long.Readings {
		if long.Readings[i].Core != "" {
			long.Readings[i].Core = "the long rod of ferrite, glued from twelve pieces, third try"
		}
	}
	rough := lighthouse(2e-2, night()[:9])
	for i := range rough.Readings {
		rough.Readings[i].Uncertainty /= 100
	}
	names := []string{"oak", "ash", "elm", "yew", "fir", "a core with a name of many words, first", "a core with a name of many words, second"}
	cores := slices.Concat(night(), hands[6:])
	first := len(cores)
	for range names {
		cores = append(cores, bench{covered: 1}, bench{covered: 1, parts: []float64{4.7}})
	}
	zoo := lighthouse(2e-4, cores)
	for i := range zoo.Readings[first:] {
		zoo.Readings[first+i].Core = names[i/2]
	}
	for what, log := range map[string]readings.Log{
		"zoo":               zoo,
		"one reading":       lighthouse(2e-4, night()[:1]),
		"two readings":      lighthouse(2e-4, night()[:2]),
		"nothing added":     lighthouse(2e-4, []bench{{}, {}, {}}),
		"no spread":         lighthouse(2e-4, []bench{{parts: []float64{10}}, {parts: []float64{10}}, {parts: []float64{10}}}),
		"core always":       lighthouse(2e-4, night()[6:12]),
		"hand only":         lighthouse(2e-4, night()[12:17]),
		"many hands":        lighthouse(2e-4, hands),
		"long names":        long,
		"far too confident": rough,
	} {
		r, err := model.Fit(estimation.Session{Log: log})
		if err != nil {
			t.Errorf("%s: no result to draw: %v", what, err)
			continue
		}
		add(what, Set(r)...)
		if what == "long names" || what == "core always" {
			intervals, _ := r.Profiles(nil)
			add(what, Profiles(r, r.Surface(r.Principal(6), nil), intervals))
		}
	}
	add("damped", *Losses(solved(t, damped())))
	r := solved(t, lighthouse(2e-4, night()))
	list, parts := questions(r)
	add("predict", Predictions(r, list, parts))
	nothing := Predictions(r, list[4:], parts)
	add("predict nothing", nothing)
	add("sweep", Swept(beadSweep()))
	add("section", Section(towerCoil(), towerMode()))
	squat := towerCoil()
	squat.Length, squat.Diameter, squat.Beads.Count = 60e-3, 80e-3, 0
	add("squat", Section(squat, towerMode()))
	add("capture", Capture(ringDown(t)))
	return all
}

var textElement = regexp.MustCompile(`<text textLength="([^"]+)" lengthAdjust="spacingAndGlyphs" x="([^"]+)" y="([^"]+)"[^>]*font-size:([0-9.]+)px[^>]*>([^<]*)<`)

// In every figure texts keep apart and stay on the page, none is below 9
// points, the font has every letter, and words and numbers go with it.
func TestGallery(t *testing.T) {
	font := must.Get(sfnt.Parse(liberationsansregular.TTF)).In(t)
	all := gallery(t)
	if len(all) < 40 {
		t.Errorf("only %d figures", len(all))
	}
	for name, f := range all {
		wordsAndNumbers(t, name, f)
		withinAxes(t, name, f)
		if n := len(f.Keys); n > mostKeys {
			t.Errorf("%s: %d keys", name, n)
		}
		svg, err := f.Render("svg", chart.Light)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		texts := textElement.FindAllStringSubmatch(string(svg), -1)
		if n := strings.Count(string(svg), "<text "); n != len(texts) || n == 0 {
			t.Fatalf("%s: %d texts, %d understood", name, n, len(texts))
		}
		var boxes [][4]float64
		for _, m := range texts {
			v := make([]float64, 4)
			for i := range v {
				v[i], _ = strconv.ParseFloat(m[i+1], 64)
			}
			w, x, y, size := v[0], v[1], v[2], v[3]
			if size < 9 {
				t.Errorf("%s: %q has %g points", name, m[5], size)
			}
			for _, r := range m[5] {
				if i, _ := font.GlyphIndex(nil, r); i == 0 {
					t.Errorf("%s: %q has %q, which the font lacks", name, m[5], r)
				}
			}
			b := [4]float64{x, x + w, y - 0.75*size, y + 0.22*size}
			if b[0] < 0 || b[1] > max(480, f.Width) {
				t.Errorf("%s: %q leaves the page: %v", name, m[5], b)
			}
			for i, o := range boxes {
				if b[0] < o[1] && o[0] < b[1] && b[2] < o[3] && o[2] < b[3] {
					t.Errorf("%s: %q and %q overlap", name, texts[i][5], m[5])
				}
			}
			boxes = append(boxes, b)
		}
	}
}

// withinAxes checks that axes hold all that is drawn, but for profiles above what is told of them,
// and the shades of a capture.
func withinAxes(t *testing.T, name string, f Figure) {
	for i, p := range f.Panels {
		if p.Empty != "" || p.Bare {
			continue
		}
		outside := func(x, y float64) bool {
			slackX, slackY := 1e-9*(p.X.Max-p.X.Min), 1e-9*(p.Y.Max-p.Y.Min)
			return x < p.X.Min-slackX || x > p.X.Max+slackX || y < p.Y.Min-slackY || y > p.Y.Max+slackY
		}
		for _, d := range p.Points {
			if outside(d.X, d.Y) || d.Low != 0 && outside(d.X, d.Low) || d.High != 0 && outside(d.X, d.High) {
				t.Errorf("%s: panel %d: a mark at %v with a bar from %g to %g leaves the axes", name, i+1, d.XY, d.Low, d.High)
			}
		}
		for _, l := range p.Lines {
			for _, q := range l.Points {
				if outside(q.X, q.Y) && !(f.Name == "profiles" && q.Y > p.Y.Max && !outside(q.X, p.Y.Max)) {
					t.Errorf("%s: panel %d: a line by %v leaves the axes from %g to %g by %g to %g", name, i+1, q, p.X.Min, p.X.Max, p.Y.Min, p.Y.Max)
					break
				}
			}
		}
		for _, a := range p.Areas {
			for _, q := range a.Outline {
				if outside(q.X, q.Y) && a.Style != chart.Mist {
					t.Errorf("%s: panel %d: an area by %v leaves the axes from %g to %g by %g to %g", name, i+1, q, p.X.Min, p.X.Max, p.Y.Min, p.Y.Max)
					break
				}
			}
		}
	}
}

// wordsAndNumbers checks that a figure says in words and in numbers what it
// shows.
func wordsAndNumbers(t *testing.T, name string, f Figure) {
	if len(f.Alt) < 20 || strings.Contains(f.Alt, "NaN") || strings.Contains(strings.Join(f.Notes, ""), "NaN") {
		t.Errorf("%s: description %q, notes %q", name, f.Alt, f.Notes)
	}
	for _, row := range f.Table.Rows {
		if len(row) != len(f.Table.Columns) || strings.Contains(fmt.Sprint(row), "NaN") {
			t.Errorf("%s: row %q under %q", name, row, f.Table.Columns)
		}
	}
}

// A million readings must not make a file that no viewer opens.
func TestManyReadings(t *testing.T) {
	r := solved(t, lighthouse(2e-4, night()))
	few := r.Readings
	for i := range 10000 {
		o := few[i%len(few)]
		o.Line, o.Standardised = i+22, 2*math.Sin(float64(i))
		r.Readings = append(r.Readings, o)
	}
	for _, f := range Set(r) {
		svg := must.Get(f.Render("svg", chart.Light)).In(t)
		t.Logf("%s: %d kB", f.Name, len(svg)/1000)
		if len(svg) > 2e6 {
			t.Errorf("%s: %d bytes", f.Name, len(svg))
		}
	}
}

func BenchmarkSet(b *testing.B) {
	r := solved(b, lighthouse(2e-4, night()))
	for b.Loop() {
		for _, f := range Set(r) {
			must.Get(f.Render("svg", chart.Light)).In(b)
		}
	}
}
