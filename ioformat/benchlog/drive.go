package benchlog

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
	"fitcoil/model"
)

// assumedQuality is the quality factor of a coil of which none was read: low
// for a wound coil in air, so that the ± of a driven reading is rather too
// large (common practice).
const assumedQuality = 20

// drives are the words of the column drive.
var drives = map[string]model.Drive{"": model.FreeRing, "-": model.FreeRing, "ring": model.FreeRing,
	"self": model.SelfOscillating, "generator": model.TunedGenerator}

// drive reads what kept the coil ringing. A self-oscillating driver runs within
// about f/2Q, half the width of the resonance, of the resonance (common
// practice): that is a further standard uncertainty, with the quality factor of
// the row, or else of the last row above it with the same core.
func (rd *reader) drive(r *model.Reading) bool {
	t, c := rd.table, rd.columns
	text := c.text(t, drive)
	d, ok := drives[strings.ToLower(text)]
	if !ok {
		words := []string{"ring", "self", "generator"}
		do := "leave the cell empty for a ring after the drive stops"
		if near, ok := suggest.Nearest(strings.ToLower(text), words); ok {
			do = "did you mean " + near + "?"
		}
		t.Report(c.at[drive], &quantity.Error{Read: text, Expected: "ring, self or generator", Do: do})
		return false
	}
	r.Drive = d
	if rd.qualities == nil {
		rd.qualities = map[string]readQuality{}
	}
	key := nameKey(r.Core)
	if !math.IsNaN(r.Quality) && r.Quality > 0 {
		rd.qualities[key] = readQuality{r.Quality, r.Line}
	}
	if d != model.SelfOscillating || !(r.Frequency > 0) {
		return true
	}
	q, of := readQuality{quality: assumedQuality}, "assumed: write the quality factor beside it"
	if k, ok := rd.qualities[key]; ok {
		q, of = k, fmt.Sprintf("read on line %d", k.line)
	}
	pull := r.Frequency / (2 * q.quality)
	r.Uncertainty, r.FromDigits = math.Hypot(r.Uncertainty, pull), false
	rd.bench.notices.add(r.Line, fmt.Sprintf("a self-oscillating driver runs within about f/2Q of the resonance: ± %s more, with a quality factor of %s (%s)",
		quantity.FormatValue(pull, 2, "Hz"), quantity.FormatValue(q.quality, 3, ""), of))
	return true
}

// readQuality is a quality factor and the line that it stands on.
type readQuality struct {
	quality float64
	line    int
}

// headerFor returns the header of a log that begins with a row.
func headerFor(row Row) string {
	if slices.ContainsFunc(row.State, func(w string) bool {
		name, _, _ := strings.Cut(w, "=")
		return strings.EqualFold(quantity.Trim(name), drive.name())
	}) {
		return strings.Replace(newHeader, "use,", drive.name()+",use,", 1)
	}
	return newHeader
}
