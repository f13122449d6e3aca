package coilsheet

import (
	"slices"
	"strings"

	"fitcoil/ioformat/quantity"
	"fitcoil/ioformat/suggest"
)

// unknownQuantity says what could have been named.
func unknownQuantity(label string) error {
	err := &quantity.Error{Read: label, Expected: "a quantity of the coil sheet"}
	var names []string
	for _, e := range entries() {
		names = append(names, e.name)
	}
	if near, ok := meant(label, append(names, "core", "inductance by meter")); ok {
		err.Do = "did you mean " + quantity.Quote(near) + "?"
	} else {
		err.Do = "there are " + strings.Join(names, ", ") + ", core, \"part\" and its name, \"inductance by meter\" and the like"
	}
	return err
}

// meant finds the name that label was perhaps meant to be: a slip of the pen,
// or other words for the same thing.
func meant(label string, names []string) (string, bool) {
	things := map[string]string{"coil": "winding", "secondary": "winding", "former": "former outer", "tube": "former outer", "shield": "box", "can": "box", "enclosure": "box", "cage": "box", "disc": "plate", "sphere": "ball", "topload": "ball",
		"top": "ball", "core": "bead", "rod": "bead", "ferrite": "bead", "beads": "bead"}
	measures := map[string]string{"height": "length", "len": "length", "long": "length", "od": "diameter", "dia": "diameter", "diam": "diameter",
		"ø": "diameter", "width": "diameter", "thickness": "diameter", "gap": "spacing", "distance": "spacing", "number": "count",
		"mu": "permeability", "µ": "permeability", "μ": "permeability", "µr": "permeability", "μr": "permeability", "mur": "permeability"}
	words := strings.Fields(normal(label))
	var thing, measure string
	for _, w := range words {
		if t, ok := things[w]; thing == "" && (ok || slices.Contains([]string{"winding", "ball", "bead", "wire", "hand", "primary", "ring", "plate", "box"}, w)) {
			thing = w
			if ok {
				thing = t
			}
		}
		if m, ok := measures[w]; ok || slices.Contains([]string{"length", "diameter", "spacing", "count", "permeability", "start", "gap", "height", "thickness", "width", "top", "bottom", "hole"}, w) {
			measure = w
			if ok && !slices.Contains(names, thing+" "+w) {
				measure = m
			}
		}
	}
	if slices.Contains(words, "gauge") || slices.Contains(words, "awg") {
		return wire, true
	}
	if slices.Contains(words, "turns") || slices.Contains(words, "windings") {
		return "turns", true
	}
	if measure == "permeability" {
		thing = "bead"
	}
	if near := thing + " " + measure; slices.Contains(names, near) {
		return near, true
	}
	return suggest.Nearest(label, names)
}
