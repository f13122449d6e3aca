package benchlog

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/readings"
)

// Adopt takes in parts and cores of an earlier session, so that States knows them too. It returns
// by what names each goes in l: that of l where it has the part or core already, be it in another
// case or unit. A part that l doesn't have, or has no value of, is what it was then, unless
// Options.Parts knows better.
func (l *Log) Adopt(parts []readings.Part, cores []string) (partNames, coreNames []string) {
	p := l.bench.parts
	for _, x := range parts {
		key := p.adoptedKey(x.Name)
		i := p.index(key)
		switch {
		case i < 0:
			i = p.add(part{Part: x, key: key, adopted: true})
			p.list[i].adopted = !p.list[i].fixed
		case !p.list[i].Known && x.Known:
			name := p.list[i].Name
			p.list[i].Part, p.list[i].adopted = x, true
			p.list[i].Name = name
		}
		partNames = append(partNames, p.list[i].Name)
	}
	for _, text := range cores {
		key := nameKey(text)
		if _, ok := l.bench.cores.byKey[key]; !ok {
			c := &name{text: text, key: key}
			l.bench.cores.byKey[key], l.bench.cores.order = c, append(l.bench.cores.order, c)
		}
		coreNames = append(coreNames, l.bench.cores.byKey[key].text)
	}
	l.Parts = p.finish()
	return partNames, coreNames
}

// adoptedKey is the key of the part that goes by that name.
func (p *parts) adoptedKey(text string) string {
	value, n, ok := valueNamed(text)
	if !ok {
		return nameKey(text)
	}
	i := slices.IndexFunc(p.list, func(x part) bool {
		head, number, ok := strings.Cut(x.key, "#")
		farad, err := strconv.ParseFloat(head, 64)
		return ok && err == nil && number == strconv.Itoa(n) && sameValue(farad, value)
	})
	if i >= 0 {
		return p.list[i].key
	}
	return valueKey(value, n)
}

// valueNamed returns the value that a part is named by, and which of that value it is, as 2 in
// "4.7 pF (2)".
func valueNamed(text string) (farad float64, n int, ok bool) {
	value, n := text, 1
	if head, rest, ok := strings.Cut(text, " ("); ok {
		if k, err := strconv.Atoi(strings.TrimSuffix(rest, ")")); err == nil {
			value, n = head, k
		}
	}
	q, err := (quantity.Form{Dimension: quantity.Capacitance}).Parse(value)
	return q.Value, n, err == nil
}

// sameValue tells whether two values are one, as 4.7 pF and 0.0047 nF are.
func sameValue(a, b float64) bool { return math.Abs(a-b) <= 1e-9*b }

// SamePart says whether two names are those of one part.
func SamePart(a, b string) bool {
	x, i, byValue := valueNamed(a)
	y, k, both := valueNamed(b)
	if byValue && both {
		return i == k && sameValue(x, y)
	}
	return SameName(a, b)
}
