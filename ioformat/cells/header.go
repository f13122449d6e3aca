package cells

import (
	"strings"

	"fitcoil/ioformat/quantity"
)

// SplitUnit splits the header of a column into the name of the quantity, in
// lower case, single-spaced, with ± for +/-, and its unit as written: "f
// [MHz]", "f (MHz)", "f_MHz" and "f/MHz" all give "f" and "MHz".
func SplitUnit(header string) (name, unit string) {
	s := header
	if strings.Contains(s, "+") {
		s = strings.NewReplacer("+/-", "±", "+-", "±", "-/+", "±").Replace(s)
	}
	for _, b := range []string{"[]", "()"} {
		open := strings.IndexByte(s, b[0])
		end := strings.IndexByte(s, b[1])
		if open >= 0 && end > open {
			return normalName(s[:open] + " " + s[end+1:]), quantity.Trim(s[open+1 : end])
		}
	}
	for i := len(s) - 1; i >= 0; i-- {
		if c := s[i]; c == '_' || c == '/' {
			if unit := quantity.Trim(s[i+1:]); quantity.LooksLikeUnit(unit) {
				return normalName(s[:i]), unit
			}
			break
		}
	}
	return normalName(s), ""
}

// normalName makes the names of columns comparable.
func normalName(s string) string {
	s = strings.ReplaceAll(strings.ToLower(s), "_", " ")
	s = strings.ReplaceAll(s, "±", " ± ")
	return strings.Join(strings.Fields(s), " ")
}

// unitRow says whether a row under the header holds nothing but units.
func unitRow(row []string) bool {
	found := false
	for _, cell := range row {
		switch s := strings.Trim(cell, "[]()"); {
		case s == "" || s == "-":
		case quantity.LooksLikeUnit(s):
			found = true
		default:
			return false
		}
	}
	return found
}

// Unit returns the unit of column i as written in the row of units, without
// brackets.
func (t *Table) Unit(i int) string {
	if i >= len(t.Units) {
		return ""
	}
	return strings.Trim(t.Units[i], "[]()-")
}
