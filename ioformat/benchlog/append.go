package benchlog

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
)

// Row is a reading to write into a log.
type Row struct {
	Frequency, Uncertainty float64 // Hz; the latter standard
	Amplitude              float64 // NaN when not recorded
	Quality                float64 // NaN when not recorded
	// State are words such as added=4.7pF, core=rod, covered=60%, hand=20cm,
	// and beside them use=no and note=text.
	State []string
}

// newHeader is the header of a log that begins with a Row.
const newHeader = "frequency [MHz],frequency ± [kHz],added [pF],core,covered [%],hand [cm],amplitude,quality factor,use,note\n"

// Append returns the log content with one more row, written the way the log is
// written: in its columns, units, delimiter, decimal mark, encoding and ends of
// line. Empty content becomes a log with a header of its own. name is what
// messages call the log.
//
// It fails when the log itself is at fault, or when it has no column for
// something that the row states. A log without a column for the ± of the
// frequency takes a frequency rounded to the digits that imply at least that
// uncertainty. What it returns has been read back and says what row says.
func Append(content []byte, name string, row Row) ([]byte, error) {
	if len(bytes.TrimSpace(bytes.TrimPrefix(content, []byte("\ufeff")))) == 0 {
		content = []byte(newHeader)
	}
	if !(row.Uncertainty > 0 && row.Uncertainty < row.Frequency/10) || math.IsInf(row.Frequency, 0) {
		return nil, fmt.Errorf("a row needs a frequency above 0 that is known to better than 10 %%")
	}
	rd, err := read(bytes.NewReader(content), 0, name, Options{})
	if err != nil {
		return nil, err
	}
	t := rd.table
	w := &writer{columns: rd.columns, comma: t.Mark == quantity.Comma, cells: make([]string, len(t.Header))}
	w.numbers(row)
	if err := w.words(row.State); err != nil {
		return nil, err
	}
	if len(w.missing) > 0 {
		return nil, fmt.Errorf("%s has no column for %s: add it to the header, and a delimiter to each row", name, strings.Join(w.missing, ", "))
	}
	longer, err := t.Append(content, w.cells)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if err := readsBack(longer, name, row); err != nil {
		return nil, err
	}
	return longer, nil
}

// readsBack checks that the last reading of content is row.
func readsBack(content []byte, name string, row Row) error {
	l, err := Read(bytes.NewReader(content), name, Options{Each: true})
	if err != nil {
		return fmt.Errorf("the new row would spoil the log: %w", err)
	}
	last := l.Readings[len(l.Readings)-1]
	if math.Abs(last.Frequency-row.Frequency) > 3*last.Uncertainty {
		return fmt.Errorf("%s: the new row would read %v instead of %v", name,
			quantity.Format(last.Frequency, last.Uncertainty, "Hz"), quantity.Format(row.Frequency, row.Uncertainty, "Hz"))
	}
	return nil
}

// writer fills the cells of one row.
type writer struct {
	columns *columns
	comma   bool
	cells   []string
	missing []string
}

// set writes text into column col.
func (w *writer) set(col column, text string) {
	if i := w.columns.at[col]; i >= 0 {
		w.cells[i] = text
		return
	}
	w.missing = append(w.missing, quantity.Quote(col.example()))
}

// number writes text as a number of the file.
func (w *writer) number(text string) string {
	if w.comma {
		return strings.ReplaceAll(text, ".", ",")
	}
	return text
}

// unit returns the unit in which col is written, and what follows each number
// of it: nothing when the header names the unit.
func (w *writer) unit(col column, usual string) (u quantity.Unit, suffix string) {
	f := w.columns.form[col]
	if f.Unit != (quantity.Unit{}) {
		return f.Unit, ""
	}
	u, _ = quantity.ParseUnit(usual, f.Dimension)
	return u, " " + usual
}

// numbers writes what was measured.
func (w *writer) numbers(row Row) {
	u, suffix := w.unit(frequency, "MHz")
	if w.columns.at[frequencyPM] < 0 {
		w.set(frequency, w.number(implying(u.FromSI(row.Frequency), u.FromSI(row.Uncertainty)))+suffix)
	} else {
		text := u.Format(row.Frequency, row.Uncertainty/10) // a digit more than is shown to people
		w.set(frequency, w.number(text.Value)+suffix)
		w.spread(row)
	}
	if !math.IsNaN(row.Amplitude) && w.columns.at[amplitude] >= 0 {
		w.set(amplitude, w.number(quantity.FormatValue(row.Amplitude, 4, "").Value))
	}
	if !math.IsNaN(row.Quality) && w.columns.at[quality] >= 0 {
		w.set(quality, w.number(quantity.FormatValue(row.Quality, 3, "").Value))
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
	last := int(math.Ceil(math.Log10(uncertainty * 2 * math.Sqrt(3))))
	if last <= 0 {
		return strconv.FormatFloat(x, 'f', -last, 64)
	}
	x = math.Round(x/math.Pow10(last)) * math.Pow10(last) // which may gain a digit
	return strconv.FormatFloat(x, 'e', max(0, int(math.Floor(math.Log10(x)))-last), 64)
}

// words writes the state, the use and the note.
func (w *writer) words(words []string) error {
	done := map[string]bool{}
	for _, word := range words {
		name, value, ok := strings.Cut(word, "=")
		name, value = strings.ToLower(quantity.Trim(name)), quantity.Trim(value)
		err := error(nil)
		switch {
		case !ok:
			err = &quantity.Error{Read: word, Expected: "name=value, such as core=rod"}
		case done[name]:
			err = fmt.Errorf("%s is given twice", name)
		default:
			done[name] = true
			err = w.word(name, value)
		}
		if err != nil {
			return &WordError{word, err}
		}
	}
	return nil
}

func (w *writer) word(name, value string) error {
	switch name {
	case "added":
		return w.added(value)
	case "core":
		w.set(core, value)
	case "covered":
		return w.covered(value)
	case "hand":
		return w.hand(value)
	case "use":
		w.set(use, value)
	case "note":
		w.set(note, value)
	default:
		names := []string{"added", "core", "covered", "hand", "use", "note"}
		do := ""
		if near, ok := suggest.Nearest(name, names); ok {
			do = "did you mean " + near + "?"
		}
		return &quantity.Error{Read: name, Expected: "added, core, covered, hand, use or note", Do: do}
	}
	return nil
}

// added writes the parts, each value in the unit of the column.
func (w *writer) added(value string) error {
	if nothing(value) {
		return nil
	}
	cell := addedCell{text: value, form: quantity.Form{Dimension: quantity.Capacitance},
		mark: func(string) (quantity.Mark, error) { return quantity.Point, nil }}
	tokens, err := cell.tokens()
	if err != nil {
		return err
	}
	u, suffix := w.unit(added, "pF")
	var terms []string
	for _, t := range tokens {
		term := t.name
		if term == "" {
			term = w.number(u.Format(t.value.Value, 0).Value) + suffix
			if t.value.Stated {
				term += "±" + w.number(u.Format(t.value.PlusMinus, 0).Value) + suffix
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

func (w *writer) hand(value string) error {
	if nobody(value) {
		return nil
	}
	q, err := quantity.Form{Dimension: quantity.Length}.Parse(value)
	if err == nil {
		err = checkHand(q)
	}
	if err != nil {
		return err
	}
	u, suffix := w.unit(hand, "cm")
	w.set(hand, w.number(u.Format(q.Value, 0).Value)+suffix)
	return nil
}

// NewLog writes a log of one row to w.
func NewLog(w io.Writer, row Row) error {
	content, err := Append(nil, "the new log", row)
	if err != nil {
		return err
	}
	_, err = w.Write(content)
	return err
}
