package figure

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fitcoil/ioformat/figure/chart"
)

// laid writes all that f says and where it puts it, with numbers to four digits: of more than
// twelve corners the first, the middle one, the last and their mean.
func laid(f Figure) (out []string) {
	add := func(words ...string) {
		words = slices.DeleteFunc(words, func(s string) bool { return s == "" })
		out = append(out, strings.TrimSpace(strings.Join(words, " ")))
	}
	add(f.Name+":", f.Title)
	add("alt:", f.Alt)
	if f.Across > 0 || f.Width > 0 {
		add(fmt.Sprintf("%d across, %s wide", f.Across, num(f.Width)))
	}
	for _, k := range f.Keys {
		add("key:", k.Text+",", look5(k.Style, k.Mark), has("hollow", k.Hollow), has("ring", k.Ring), has("line", k.Line), has("dashed", k.Dashed),
			has("band", k.Band), has("area", k.Area), has("bar", k.Bar), has("aside at "+num(k.At), k.Aside))
	}
	for _, p := range f.Panels {
		add("panel", p.Title, has(num(p.Height), p.Height > 0), has("equal", p.Equal), has("bare", p.Bare))
		if p.Empty != "" {
			add("empty:", p.Empty)
		}
		add("x", axis5(p.X))
		add("y", axis5(p.Y))
		for _, a := range p.Areas {
			add("area", look5(a.Style, false), has("tint "+num(a.Tint), a.Tint > 0), corners(a.Outline))
		}
		for _, b := range p.Bands {
			var low, high []chart.XY
			for _, q := range b.Points {
				low, high = append(low, chart.XY{X: q.X, Y: q.Low}), append(high, chart.XY{X: q.X, Y: q.High})
			}
			add("band", look5(b.Style, false), corners(low), "below", corners(high))
		}
		for _, r := range p.Rules {
			add("rule", num(r.At), has("upright", r.Upright), has("dashed", r.Dashed))
		}
		for _, l := range p.Lines {
			add("line", look5(l.Style, false), has("thin", l.Thin), has("bold", l.Bold), has("dashed", l.Dashed), corners(l.Points))
		}
		for _, d := range p.Points {
			add("mark", look5(d.Style, true), corners([]chart.XY{d.XY}), has(num(d.Low)+"…"+num(d.High), d.Low != 0 || d.High != 0),
				has("wide "+num(d.WideLow)+"…"+num(d.WideHigh), d.Wide), has("hollow", d.Hollow), has("ring", d.Ring), has("small", d.Small), d.Label)
		}
		for _, s := range p.Texts {
			add("text", corners([]chart.XY{s.XY}), s.Text)
		}
	}
	for _, n := range f.Notes {
		add("note:", n)
	}
	if len(f.Table.Columns) > 0 {
		add("table:", strings.Join(f.Table.Columns, " | "))
	}
	for _, row := range f.Table.Rows {
		add("row:", strings.Join(row, " | "))
	}
	return out
}

func has(what string, is bool) string {
	if is {
		return what
	}
	return ""
}

// num rounds to four digits and at most four decimals.
func num(v float64) string {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 4, 64), 64)
	v = math.Round(1e4*v) / 1e4
	return strconv.FormatFloat(v+0, 'f', -1, 64)
}

// look5 is a style: its colour, the shape of a mark and the pattern of a line.
func look5(s chart.Style, mark bool) string {
	shapes := []string{"disc", "square", "triangle", "diamond", "tip", "plus", "star"}
	for shape, name := range shapes {
		name = has(name, mark)
		switch s {
		case chart.Ink.Shaped(shape):
			return strings.TrimSpace("ink " + name)
		case chart.Faint.Shaped(shape):
			return strings.TrimSpace("faint " + name)
		case chart.Mist.Shaped(shape):
			return "mist"
		}
		for color := range chart.Colors {
			for dashes := range 4 {
				if s == chart.Series(color, shape, dashes) {
					return strings.TrimSpace(fmt.Sprintf("c%d%s %s", color, has(fmt.Sprintf("-%d", dashes), dashes > 0), name+has("/"+shapes[shape], !mark && shape > 0)))
				}
			}
		}
	}
	return fmt.Sprintf("style %d", s)
}

func axis5(a chart.Axis) string {
	s := fmt.Sprintf("%s: %s…%s%s%s", a.Label, num(a.Min), num(a.Max), has(" log+"+num(a.Shift), a.Log), has(" unshown", a.Unshown))
	for _, k := range a.Ticks {
		s += " " + num(k.At)
		if k.Label != num(k.At) {
			s += "=" + k.Label
		}
	}
	return s
}

func corners(list []chart.XY) (s string) {
	at := func(q chart.XY) string { return num(q.X) + "," + num(q.Y) }
	n := len(list)
	if n > 12 {
		var mean chart.XY
		for _, q := range list {
			mean.X += q.X / float64(n)
			mean.Y += q.Y / float64(n)
		}
		return fmt.Sprintf("%d from %s by %s to %s, mean %s", n, at(list[0]), at(list[n/2]), at(list[n-1]), at(mean))
	}
	for i, q := range list {
		s += has(" ", i > 0) + at(q)
	}
	return s
}

// sameLaid wants f laid out as it is, whatever the indentation.
func sameLaid(t *testing.T, what string, f Figure, want string) {
	t.Helper()
	got := laid(f)
	wanted := strings.Split(strings.TrimSpace(want), "\n")
	for i, l := range wanted {
		wanted[i] = strings.TrimSpace(l)
	}
	for i := range max(len(got), len(wanted)) {
		if i >= len(got) || i >= len(wanted) || got[i] != wanted[i] {
			t.Errorf("%s: from line %d on\n%s\nand should be\n%s", what, i+1, strings.Join(got[min(i, len(got)):], "\n"), strings.Join(wanted[min(i, len(wanted)):], "\n"))
			return
		}
	}
}
