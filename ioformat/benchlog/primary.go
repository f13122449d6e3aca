package benchlog

import (
	"math"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
	"fitcoil/model/readings"
)

// primaryWords are the words of the column primary; a capacitance follows the last.
func primaryWords() []string { return []string{"open", "shorted", "tuned"} }

// parsePrimary reads what was done with the primary: nothing, open, shorted, or tuned and
// the capacitance across it.
func parsePrimary(text string, mark quantity.Mark) (readings.Primary, error) {
	word, rest, _ := strings.Cut(strings.ToLower(text), " ")
	switch {
	case nothing(text) || word == "open" && rest == "":
		return readings.Primary{}, nil
	case (word == "shorted" || word == "short") && rest == "":
		return readings.Primary{Kind: readings.PrimaryShorted}, nil
	case word == "tuned" && rest != "":
		_, value, _ := strings.Cut(text, " ")
		q, err := quantity.Form{Dimension: quantity.Capacitance, Mark: mark}.Parse(quantity.Trim(value))
		if err == nil && !(q.Value > 0) {
			err = &quantity.Error{Read: text, Expected: "a capacitance above 0 across the primary"}
		}
		return readings.Primary{Kind: readings.PrimaryTuned, Capacitance: q.Value}, err
	}
	do := "leave the cell empty where there is no primary"
	if near, ok := suggest.Nearest(word, primaryWords()); ok && near != word {
		do = "did you mean " + near + "?"
	}
	return readings.Primary{}, &quantity.Error{Read: text, Expected: "open, shorted, or tuned and a capacitance, such as tuned 4.7 nF", Do: do}
}

// peaks makes r the first reading of a row and returns the second, where a tuned primary
// splits the resonance: that stands in a column of its own. ok is false when a fault was
// reported.
func (rd *reader) peaks(r *readings.Reading) (second *readings.Reading, ok bool) {
	text := rd.text(secondFrequency)
	none := blank(text)
	tuned := r.Primary.Kind == readings.PrimaryTuned
	switch {
	case none && !tuned:
		return nil, true
	case none:
		return nil, rd.refuse(primary, rd.text(primary), "both peaks of the split pair", "write the other one into the column \"second frequency [MHz]\"")
	case !tuned:
		return nil, rd.refuse(secondFrequency, text, "nothing, since the primary isn't tuned", "only a tuned primary splits a resonance in two: write primary tuned and its capacitance, or leave the cell empty")
	}
	f, ok := rd.quantity(secondFrequency)
	switch {
	case !ok:
		return nil, false
	case !(f.Value > 0) || f.Value == r.Frequency:
		return nil, rd.refuse(secondFrequency, f.Text, "another frequency above 0 than the first", "write the other peak")
	}
	other := *r
	other.Frequency, other.Amplitude, other.Quality = f.Value, math.NaN(), math.NaN()
	if r.FromDigits {
		other.Uncertainty = f.DigitUncertainty()
	}
	if other.Frequency < r.Frequency {
		*r, other = other, *r
	}
	other.Primary.Upper = true
	return &other, true
}
