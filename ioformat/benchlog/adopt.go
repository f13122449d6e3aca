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

// adoptedKey is the key of the part that goes by that name, "4.7 pF (2)" for the second one of
// that value.
func (p *parts) adoptedKey(text string) string {
	const rounding = 1e-9 // 4.7 pF and 0.0047 nF are the same
	value, n := text, 1
	if head, rest, ok := strings.Cut(text, " ("); ok {
		if k, err := strconv.Atoi(strings.TrimSuffix(rest, ")")); err == nil {
			value, n = head, k
		}
	}
	q, err := (quantity.Form{Dimension: quantity.Capacitance}).Parse(value)
	if err != nil {
		return nameKey(text)
	}
	i := slices.IndexFunc(p.list, func(x part) bool {
		head, number, ok := strings.Cut(x.key, "#")
		farad, err := strconv.ParseFloat(head, 64)
		return ok && err == nil && number == strconv.Itoa(n) && math.Abs(farad-q.Value) <= rounding*q.Value
	})
	if i >= 0 {
		return p.list[i].key
	}
	return valueKey(q.Value, n)
}
