package benchlog

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
	"fitcoil/model/readings"
)

// assumedQuality is the quality factor of a coil of which none was read: low
// for a wound coil in air, so that the ± of a driven reading is rather too
// large (common practice).
const assumedQuality = 20

// drive reads what kept the coil ringing. A self-oscillating driver runs within
// about f/2Q, half the width of the resonance, of the resonance (common
// practice): that is a further standard uncertainty, with the quality factor of
// the row, or else of the last row above it with the same core.
func (rd *reader) drive(r *readings.Reading) bool {
	text := rd.text(drive)
	word, words := strings.ToLower(text), []string{"ring", "self", "generator"}
	if word != "" && word != "-" && !slices.Contains(words, word) {
		return rd.refuse(drive, text, "ring, self or generator", suggest.Meant(word, words, "leave the cell empty for a ring after the drive stops"))
	}
	if r.Quality > 0 { // NaN isn't
		rd.qualities[r.Core] = readQuality{r.Quality, r.Line}
	}
	if word != "self" || !(r.Frequency > 0) {
		return true
	}
	q, known := rd.qualities[r.Core]
	if !known {
		q.quality = assumedQuality
	}
	pull := r.Frequency / (2 * q.quality)
	r.Uncertainty, r.FromDigits = math.Hypot(r.Uncertainty, pull), false
	p := &rd.pulls[0]
	if known {
		p = &rd.pulls[1]
	}
	if p.rows++; p.rows == 1 {
		*p = pulls{1, r.Line, pull, q}
	}
	return true
}

// readQuality is a quality factor and the line that it stands on, 0 when it is
// assumed.
type readQuality struct {
	quality float64
	line    int
}

// pulls counts the rows with a self-oscillating driver; the rest is of the first.
type pulls struct {
	rows, line int
	pull       float64 // Hz
	quality    readQuality
}

// tellPulls tells by how much self-oscillating drivers make readings uncertain,
// once for those with a quality factor and once for those without.
func (rd *reader) tellPulls() {
	for _, p := range rd.pulls {
		if p.rows == 0 {
			continue
		}
		of := "assumed: write the quality factor beside it"
		if p.quality.line > 0 {
			of = fmt.Sprintf("read on line %d", p.quality.line)
		}
		all := ""
		if p.rows > 1 {
			all = fmt.Sprintf("; such rows in all: %d", p.rows)
		}
		rd.bench.notices.add(p.line, fmt.Sprintf("a self-oscillating driver runs within about f/2Q of the resonance: ± %s more, with a quality factor of %s (%s)%s",
			quantity.FormatValue(p.pull, 2, "Hz"), quantity.FormatValue(p.quality.quality, 3, ""), of, all))
	}
}
