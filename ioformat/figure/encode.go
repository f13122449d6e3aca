package figure

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"fitcoil/ioformat/figure/chart"
	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/wording"
	"fitcoil/model"
	"fitcoil/model/readings"
)

// encoding says how all figures of a result show a condition: the core by its colour, the
// hand, or what is done with a primary, by the shape of the mark.
type encoding struct {
	names map[string]string  // what figures call a core: its name, or a letter for a long one
	cores []string           // in the order of the log, "" where nothing was inserted
	bins  [][]float64        // distances of the hand [m], in ranges that share a shape
	prims []readings.Primary // what is done with a primary, but leave it open
	long  []string           // notes that explain letters
}

const (
	mostCores = 5 // colours, no core counting as one
	mostBins  = 3 // shapes of a hand
	mostNamed = mostCores + 1

	mostPrimaries = 3 // shapes of a primary
)

// newEncoding looks at all readings, and further conditions that a figure shows.
func newEncoding(r *model.Result, further ...readings.Condition) encoding {
	var e encoding
	var hands []float64
	take := func(c readings.Condition) {
		if !slices.Contains(e.cores, c.Core) {
			e.cores = append(e.cores, c.Core)
		}
		if !math.IsInf(c.Hand, 1) && !slices.Contains(hands, c.Hand) {
			hands = append(hands, c.Hand)
		}
		if c.Primary.Kind != readings.PrimaryOpen && !slices.Contains(e.prims, c.Primary) {
			e.prims = append(e.prims, c.Primary)
		}
	}
	for i := range r.Readings {
		take(r.Readings[i].State.Condition())
	}
	for _, c := range further {
		take(c)
	}
	if i := slices.Index(e.cores, ""); i > 0 { // no core comes first, and is black
		e.cores = slices.Insert(slices.Delete(e.cores, i, i+1), 0, "")
	}
	slices.Sort(hands)
	shapes := min(mostBins, max(1, mostNamed-min(len(e.cores), mostCores)-len(e.prims)), len(hands))
	for i := range shapes {
		e.bins = append(e.bins, hands[i*len(hands)/shapes:(i+1)*len(hands)/shapes])
	}
	e.names, e.long = lettered("Core", e.cores)
	return e
}

// longName is the number of letters from which on a name has no place in a figure.
const longName = 20

// lettered gives each long name a letter that no name is, and says in notes which.
func lettered(what string, names []string) (out map[string]string, notes []string) {
	out = map[string]string{}
	next := 0
	for _, name := range names {
		out[name] = name
		if len([]rune(name)) < longName {
			continue
		}
		letter := ""
		for ok := true; ok; next++ {
			letter = string(rune('A' + next%26))
			if next >= 26 {
				letter += strconv.Itoa(next / 26)
			}
			ok = slices.Contains(names, letter)
		}
		out[name] = letter
		notes = append(notes, fmt.Sprintf("%s %s: %s.", what, letter, name))
	}
	return out, notes
}

// condition words one, with the core as figures call it.
func (e *encoding) condition(c readings.Condition) string { return wording.Condition(e.short(c)) }

func (e *encoding) short(c readings.Condition) readings.Condition {
	if name, ok := e.names[c.Core]; ok {
		c.Core = name
	}
	return c
}

// colour returns that of a core. No core is black whatever was read; beyond the colours
// there are, cores share the last.
func (e *encoding) colour(core string) int {
	i := slices.Index(e.cores, core)
	if e.cores[0] != "" {
		i++
	}
	return min(i, mostCores-1)
}

// shape returns that of the primary in a condition, or of the hand's distance.
func (e *encoding) shape(c readings.Condition) int {
	if i := slices.Index(e.prims, c.Primary); i >= 0 {
		return mostBins + 1 + min(i, mostPrimaries-1)
	}
	for i, bin := range e.bins {
		if slices.Contains(bin, c.Hand) {
			return i + 1
		}
	}
	return 0
}

// style returns how marks of a condition look.
func (e *encoding) style(c readings.Condition) chart.Style {
	return chart.Series(e.colour(c.Core), e.shape(c), 0)
}

// shared lists the cores that share the last colour.
func (e *encoding) shared() []string {
	own := mostCores - 1
	if e.cores[0] == "" {
		own++
	}
	if len(e.cores) <= own {
		return nil
	}
	return e.cores[own-1:]
}

// keys explains the colours and shapes of the readings given.
func (e *encoding) keys(shown []reading) (keys []chart.Key) {
	colours, shapes := map[int]bool{}, map[int]bool{}
	for _, r := range shown {
		c := r.State.Condition()
		colours[e.colour(c.Core)], shapes[e.shape(c)] = true, true
	}
	seen := map[int]bool{}
	for _, core := range e.cores {
		k := e.colour(core)
		if !colours[k] || seen[k] {
			continue
		}
		seen[k] = true
		text := "no core"
		if core != "" {
			text = "core " + e.names[core]
		}
		if slices.Contains(e.shared(), core) {
			text = "other cores"
		}
		keys = append(keys, chart.Key{Text: text, Style: chart.Series(k, 0, 0), Mark: true})
	}
	return append(keys, e.shapeKeys(shapes)...)
}

func (e *encoding) shapeKeys(shapes map[int]bool) (keys []chart.Key) {
	for i, bin := range e.bins {
		if !shapes[i+1] {
			continue
		}
		text := fmt.Sprintf("hand at %s cm", quantity.Digits(100*bin[0], 3))
		if n := len(bin); n > 1 {
			text = fmt.Sprintf("hand at %s to %s cm", quantity.Digits(100*bin[0], 3), quantity.Digits(100*bin[n-1], 3))
		}
		keys = append(keys, chart.Key{Text: text, Style: chart.Ink.Shaped(i + 1), Mark: true})
	}
	for i, p := range e.prims {
		shape := mostBins + 1 + i
		if i >= mostPrimaries || !shapes[shape] {
			continue
		}
		text := wording.Primary(readings.Condition{Primary: p})
		if i == mostPrimaries-1 && len(e.prims) > mostPrimaries {
			text = "other primaries"
		}
		keys = append(keys, chart.Key{Text: text, Style: chart.Ink.Shaped(shape), Mark: true})
	}
	return keys
}

// notes explains letters and shared colours.
func (e *encoding) notes() []string {
	list := slices.Clone(e.long)
	if shared := e.shared(); len(shared) > 0 {
		var names []string
		for _, core := range shared {
			names = append(names, e.names[core])
		}
		list = append(list, "Other cores: "+strings.Join(names, ", ")+".")
	}
	if len(list) == 0 {
		return nil
	}
	return []string{strings.Join(list, " ")}
}

// mostKeys is the number of keys that a figure has room for.
const mostKeys = 8

// tidied has at most mostKeys keys: beyond these a note explains rings, hollow marks and
// then the shapes of a hand.
func tidied(f Figure) Figure {
	var words []string
	for i := len(f.Keys) - 1; i >= 0 && len(f.Keys) > mostKeys; i-- {
		if k := f.Keys[i]; k.Ring && !k.Mark || k.Hollow || k.Mark && k.Style < 0 && !k.Ring {
			words = append([]string{markName(k) + ": " + k.Text + "."}, words...)
			f.Keys = slices.Delete(f.Keys, i, i+1)
		}
	}
	if len(words) > 0 {
		f.Notes = append([]string{strings.Join(words, " ")}, f.Notes...)
	}
	return f
}

// markName says in a word what the mark of a key looks like.
func markName(k chart.Key) string {
	switch {
	case k.Ring:
		return "Ring"
	case k.Hollow:
		return "Hollow"
	}
	for shape, name := range []string{"Disc", "Square", "Triangle", "Diamond", "Triangle on its tip", "Plus", "Star"} {
		if k.Style == chart.Ink.Shaped(shape) {
			return name
		}
	}
	return "Mark"
}
