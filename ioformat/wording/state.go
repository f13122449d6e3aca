package wording

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/model/readings"
)

// State describes a state: "4.7 pF, core rod 60 %", or "bare".
func State(s readings.State, parts []readings.Part) string {
	var words []string
	if top := Top(s, parts); top != "" {
		words = append(words, top)
	}
	return join(append(words, surroundings(s.Condition())...))
}

// Condition describes a state regardless of what is on the top: "core rod,
// hand at 10 cm", or "bare".
func Condition(c readings.Condition) string { return join(surroundings(c)) }

// Top lists what is on the top of the coil; "" for nothing.
func Top(s readings.State, parts []readings.Part) string {
	words := readings.Names(s.Of(parts))
	if s.Exact > 0 {
		words = append(words, quantity.Format(s.Exact, 0, "F").String())
	}
	if len(words) == 0 && s.Clip {
		return "empty clip"
	}
	return strings.Join(words, " + ")
}

// Core describes a core and the stretch it covers; "" for air.
func Core(c readings.Condition) string {
	switch {
	case c.Core == "":
		return ""
	case c.From > 0:
		return fmt.Sprintf("core %s %s..%s %%", c.Core, quantity.Digits(100*c.From, 3), quantity.Digits(100*c.To, 3))
	case c.To < 1:
		return fmt.Sprintf("core %s %s %%", c.Core, quantity.Digits(100*c.To, 3))
	}
	return "core " + c.Core
}

// Hand tells where a hand is; "" for nobody near.
func Hand(c readings.Condition) string {
	if math.IsInf(c.Hand, 1) {
		return ""
	}
	return fmt.Sprintf("hand at %s cm", quantity.Digits(100*c.Hand, 3)) // as makers measure it
}

// Primary tells what is done with the primary; "" for none, or an open one.
func Primary(c readings.Condition) string {
	switch p := c.Primary; {
	case p.Kind == readings.PrimaryShorted:
		return "primary shorted"
	case p.Kind == readings.PrimaryTuned && p.Upper:
		return "primary tuned with " + quantity.FormatValue(p.Capacitance, 3, "F").String() + ", upper peak"
	case p.Kind == readings.PrimaryTuned:
		return "primary tuned with " + quantity.FormatValue(p.Capacitance, 3, "F").String() + ", lower peak"
	}
	return ""
}

func surroundings(c readings.Condition) (words []string) {
	for _, w := range []string{Core(c), Hand(c), Primary(c)} {
		if w != "" {
			words = append(words, w)
		}
	}
	return words
}

func join(words []string) string {
	if len(words) == 0 {
		return "bare"
	}
	return strings.Join(words, ", ")
}

// Words spells a state as the command line and the bench read it, as added=4.7pF
// core=rod; "bare" for the bare coil.
func Words(s readings.State, parts []readings.Part) string {
	var words []string
	if top := Top(s, parts); top != "" {
		if s.Clip && len(s.Parts) == 0 && s.Exact == 0 {
			top = "clip"
		}
		words = append(words, "added="+Typed(strings.ReplaceAll(top, " + ", "+")))
	}
	if s.Core != "" {
		words = append(words, "core="+s.Core)
		switch {
		case s.From > 0:
			words = append(words, fmt.Sprintf("covered=%s..%s%%", quantity.Digits(100*s.From, 4), quantity.Digits(100*s.To, 4)))
		case s.To < 1:
			words = append(words, fmt.Sprintf("covered=%s%%", quantity.Digits(100*s.To, 4)))
		}
	}
	if !math.IsInf(s.Hand, 1) {
		words = append(words, fmt.Sprintf("hand=%scm", quantity.Digits(100*s.Hand, 4)))
	}
	switch s.Primary.Kind {
	case readings.PrimaryShorted:
		words = append(words, "primary=shorted")
	case readings.PrimaryTuned:
		words = append(words, "primary=tuned "+quantity.Format(s.Primary.Capacitance, 0, "F").String())
	}
	if len(words) == 0 {
		return "bare"
	}
	return strings.Join(words, " ")
}

// Typed spells parts as they are typed, without a space before their units.
func Typed(parts string) string {
	for _, u := range []string{"fF", "pF", "nF"} {
		parts = strings.ReplaceAll(parts, " "+u, u)
	}
	return parts
}

// Lines names lines of a log, not all of many: "line 4", "lines 4, 7 and 9".
func Lines(list []int) string {
	const most = 8
	var words []string
	for i, n := range list {
		if i == most && len(list) > most+1 {
			words = append(words, strconv.Itoa(len(list)-most)+" more")
			break
		}
		words = append(words, strconv.Itoa(n))
	}
	if len(words) == 1 {
		return "line " + words[0]
	}
	return "lines " + quantity.Listed(words, "and")
}
