package benchlog

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"fitcoil/ioformat/cells"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
)

// Row is a reading to write into a log.
type Row struct {
	Frequency, Uncertainty float64 // Hz; the latter standard
	Unclaimed              bool    // no ± is to be written, only the digits that mean anything
	LastDigit              float64 // Hz, worth of one in the last digit to write; 0 leaves that to the ±
	Amplitude              float64 // NaN when not recorded
	AmplitudeUnit          string  // "V", another unit, or "" for an unknown one
	Quality                float64 // NaN when not recorded
	// State are words such as added=4.7pF, core=rod, covered=60%, hand=20cm,
	// and beside them drive=self, time=42, use=no and note=text.
	State []string
	// Cautions are sentences on the reading that its note is to hold.
	Cautions []string
}

// newHeader is the header of a log that begins with a Row.
// One with a primary, a drive or a time has a column for it besides.
const newHeader = "frequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm],amplitude,quality factor,use,note\n"

// headerFor returns the header of a log that begins with row.
func headerFor(row Row) string {
	header := newHeader
	for _, more := range []string{"primary", "drive", "time [min]"} {
		if slices.ContainsFunc(row.State, func(w string) bool {
			name, _, _ := strings.Cut(w, "=")
			of, _, _ := strings.Cut(more, " ")
			return strings.EqualFold(quantity.Trim(name), of)
		}) {
			header = strings.Replace(header, "use,", more+",use,", 1)
		}
	}
	return header
}

// Append returns the log content with one more row, written the way the log is
// written: in its columns, units, delimiter, decimal mark, encoding and ends of
// line. Empty content becomes a log with a header of its own. name is what
// messages call the log. unplaced is what row holds beside frequency and state
// that the log has no column for.
//
// It fails when the log itself is at fault, or when it has no column for
// something that the row states. A log without a column for the ± of the
// frequency takes a frequency rounded to the digits that imply at least that
// uncertainty. What it returns has been read back: it has one reading more, and
// that says what row says.
func Append(content []byte, name string, row Row) (longer []byte, unplaced []string, err error) {
	if !(row.Uncertainty > 0 && row.Uncertainty < row.Frequency/10) || math.IsInf(row.Frequency, 0) {
		return nil, nil, fmt.Errorf("a row needs a frequency above 0 that is known to better than 10 %%")
	}
	meant, err := alone(row)
	if err != nil {
		return nil, nil, err
	}
	if len(bytes.TrimSpace(bytes.TrimPrefix(content, []byte("\ufeff")))) == 0 {
		content = []byte(headerFor(row))
	}
	p, err := place(content, name, row)
	if err != nil {
		return nil, nil, err
	}
	return p.content, p.unplaced, p.readsBack(name, meant)
}

// placed is a log with one more row.
type placed struct {
	content  []byte
	readings int    // that the log had before
	first    string // cell of the new row
	unplaced []string
}

// place writes row under content.
func place(content []byte, name string, row Row) (p placed, err error) {
	rd, err := read(bytes.NewReader(content), name, Options{Each: true})
	if err != nil {
		return p, err
	}
	w := &writer{columns: rd.columns, volts: rd.volts, cells: make([]string, len(rd.Header))}
	w.numbers(row)
	if err := w.words(row.State); err != nil {
		return p, err
	}
	w.cautions(row.Cautions)
	if len(w.missing) > 0 {
		return p, fmt.Errorf("%s has no column for %s: add it to the header, and a delimiter to each row", name, strings.Join(w.missing, ", "))
	}
	longer, err := rd.Append(content, w.cells)
	if err != nil {
		return p, fmt.Errorf("%s: %w", name, err)
	}
	return placed{longer, len(rd.log.Readings), w.cells[0], w.unplaced}, nil
}

// writer fills the cells of one row.
type writer struct {
	*columns
	volts    int // as the reader has it
	cells    []string
	missing  []string
	unplaced []string
}

// set writes text into column col.
func (w *writer) set(col column, text string) {
	if i := w.at[col]; i >= 0 {
		w.cells[i] = text
		return
	}
	w.missing = append(w.missing, quantity.Quote(col.example()))
}

// number writes text as a number of the file.
func (w *writer) number(text string) string {
	if w.Mark == quantity.Comma {
		return strings.ReplaceAll(text, ".", ",")
	}
	return text
}

// unit returns the unit in which col is written, and what follows each number
// of it: nothing when the header names the unit.
func (w *writer) unit(col column, usual string) (u quantity.Unit, suffix string) {
	f := w.form[col]
	if f.Unit != (quantity.Unit{}) {
		return f.Unit, ""
	}
	u, _ = quantity.ParseUnit(usual, f.Dimension)
	return u, " " + usual
}

// numbers writes what was measured.
func (w *writer) numbers(row Row) {
	u, suffix := w.unit(frequency, "MHz")
	if w.at[frequencyPM] < 0 || row.Unclaimed {
		w.set(frequency, w.number(implying(u.FromSI(row.Frequency), u.FromSI(row.Uncertainty)))+suffix)
	} else {
		text := u.Format(row.Frequency, row.Uncertainty/10).Value // a digit more than is shown to people
		if row.LastDigit > 0 {
			text = implying(u.FromSI(row.Frequency), u.FromSI(row.LastDigit)/2/math.Sqrt(3))
		}
		w.set(frequency, w.number(text)+suffix)
		w.spread(row)
	}
	w.amplitude(row)
	if !math.IsNaN(row.Quality) {
		w.offer(quality, quantity.FormatValue(row.Quality, 3, "").Value, "")
	}
}

// offer writes a number where there is a column for it, and remembers it where
// there is none.
func (w *writer) offer(col column, number, suffix string) {
	if w.at[col] < 0 {
		w.unplaced = append(w.unplaced, col.name()+" "+number+suffix)
		return
	}
	w.set(col, w.number(number)+suffix)
}

// amplitude writes the amplitude in the unit of its column, which the other
// amplitudes are in.
func (w *writer) amplitude(row Row) {
	if math.IsNaN(row.Amplitude) {
		return
	}
	value, suffix := row.Amplitude, ""
	if row.AmplitudeUnit != "" {
		suffix = " " + row.AmplitudeUnit
	}
	if i := w.at[amplitude]; i >= 0 {
		_, unit := cells.SplitUnit(w.Header[i])
		if below := w.Unit(i); below != "" {
			unit = below
		}
		u, err := quantity.ParseUnit(unit, quantity.Voltage)
		switch {
		case unit == row.AmplitudeUnit, unit == "" && w.volts != 2:
			suffix = ""
		case unit == "" && row.AmplitudeUnit == "V":
		case unit != "" && err == nil && row.AmplitudeUnit == "V":
			value, suffix = u.FromSI(value), ""
		default: // nobody could compare it with the others
			w.unplaced = append(w.unplaced, "amplitude "+quantity.FormatValue(value, 4, "").Value+suffix)
			return
		}
	}
	w.offer(amplitude, quantity.FormatValue(value, 4, "").Value, suffix)
}

// cautions adds sentences to the note, each up to its semicolon: behind that
// stands what could have been done.
func (w *writer) cautions(list []string) {
	if len(list) == 0 {
		return
	}
	var short []string
	for _, s := range list {
		s, _, _ = strings.Cut(s, "; ")
		short = append(short, s)
	}
	text := strings.Join(short, "; ")
	i := w.at[note]
	switch {
	case i < 0:
		w.unplaced = append(w.unplaced, "note "+quantity.Quote(text))
	case w.cells[i] != "":
		w.cells[i] += "; " + text
	default:
		w.cells[i] = text
	}
}

// spread writes the standard uncertainty of the frequency.
func (w *writer) spread(row Row) {
	value := row.Uncertainty
	u, suffix := w.unit(frequencyPM, "kHz")
	if u.Dimension == quantity.Fraction {
		value /= row.Frequency
	}
	w.set(frequencyPM, w.number(strconv.FormatFloat(rounded(u.FromSI(value)), 'f', -1, 64))+suffix)
}

// rounded returns x with three significant digits.
func rounded(x float64) float64 {
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 2, 64), 64)
	return y
}

// implying writes x with those digits whose own uncertainty, half a last digit
// over √3, is no less than uncertainty. A last digit above the units needs an
// exponent: 1.2e4, since 12000 would claim more.
func implying(x, uncertainty float64) string {
	last := int(math.Ceil(math.Log10(uncertainty*2*math.Sqrt(3)) - 1e-9))
	if last <= 0 {
		return strconv.FormatFloat(x, 'f', -last, 64)
	}
	x = math.Round(x/math.Pow10(last)) * math.Pow10(last) // which may gain a digit
	return strconv.FormatFloat(x, 'e', max(0, int(math.Floor(math.Log10(x)))-last), 64)
}

// words writes the state, the use and the note.
func (w *writer) words(words []string) error {
	return eachWord(words, func(word string) (name, value string, err error) {
		name, value, ok := strings.Cut(word, "=")
		switch {
		case !ok:
			err = &quantity.Error{Read: word, Expected: "name=value, such as core=rod"}
		case strings.ContainsFunc(word, quantity.Hidden):
			err = &quantity.Error{Read: word, Expected: "text without control characters"}
		}
		return strings.ToLower(quantity.Trim(name)), quantity.Trim(value), err
	}, w.word)
}

func (w *writer) word(_, name, value string) error {
	switch name {
	case "added":
		return w.added(value)
	case "covered":
		return w.covered(value)
	case "hand":
		d, err := handAt(value)
		if err != nil || math.IsInf(d, 0) {
			return err
		}
		u, suffix := w.unit(hand, "cm")
		w.set(hand, w.number(u.Format(d, 0).Value)+suffix)
	case "core", "drive", "time", "primary", "use", "note":
		col, _ := columnNamed(name)
		w.set(col, value)
	default:
		names := []string{"added", "core", "covered", "hand", "primary", "drive", "time", "use", "note"}
		return &quantity.Error{Read: name, Expected: "added, core, covered, hand, primary, use or note", Do: suggest.Meant(name, names, "")}
	}
	return nil
}

// added writes the parts, each value in the unit of the column.
func (w *writer) added(value string) error {
	if nothing(value) {
		return nil
	}
	if emptyClip(value) {
		w.set(added, "clip")
		return nil
	}
	tokens, err := typed(value).tokens()
	if err != nil {
		return err
	}
	u, suffix := w.unit(added, "pF")
	var terms []string
	for _, t := range tokens {
		term := t.name
		if term == "" {
			term = w.number(u.Format(t.value.Value, 0).Value) + suffix
			switch v := t.value; {
			case v.Relative && v.Value > 0: // as it was told: parts of one percentage are a lot
				term += "±" + w.number(quantity.Format(v.PlusMinus/v.Value, 0, "%").Value) + "%"
			case v.Stated:
				term += "±" + w.number(u.Format(v.PlusMinus, 0).Value) + suffix
			}
		}
		terms = append(terms, term)
	}
	w.set(added, strings.Join(terms, "+"))
	return nil
}

func (w *writer) covered(value string) error {
	from, to, err := quantity.Form{Dimension: quantity.Fraction}.ParseStretch(value)
	if err != nil {
		return err
	}
	u, suffix := w.unit(covered, "%")
	text := w.number(u.Format(to, 0).Value)
	if from > 0 {
		text = w.number(u.Format(from, 0).Value) + ".." + text
	}
	w.set(covered, text+suffix)
	return nil
}
