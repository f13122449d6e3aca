package benchlog

import (
	"slices"
	"strings"
	"unicode"
)

// hints is what the words of an unknown header speak of.
type hints struct {
	kinds  []column
	spread bool // of an uncertainty or a tolerance
	other  bool // of a value that wasn't read at the coil as it stood: computed, of the supply
	plain  bool // of a running number, the weather or the date
}

const (
	spreadHints = "± unc incert err sigma std= sd= u= unsicher dev tol fehler"
	otherHints  = "calc comput predict model fit fitted theor expect total stray self drive generator supply bias estimate"
	plainHints  = "run= no= nr= n= num= number= nummer= numéro= número= index= id= row= line= reading= point= step= order= sample= trial= # date= datum= fecha= day= time= uhrzeit= zeit= heure= hora= temp temperature= t= humid rh= press"
)

// findHints reads the name of a column, in lower case.
func findHints(name string) (h hints) {
	words := strings.FieldsFunc(name, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '±' && r != '#' })
	for col := range numColumns {
		if matches(words, kinds[col].hints) {
			h.kinds = append(h.kinds, col)
		}
	}
	h.spread, h.other, h.plain = matches(words, spreadHints), matches(words, otherHints), matches(words, plainHints)
	return h
}

func matches(words []string, list string) bool {
	return slices.ContainsFunc(strings.Fields(list), func(begin string) bool {
		begin, whole := strings.CutSuffix(begin, "=")
		return slices.ContainsFunc(words, func(w string) bool {
			w = strings.TrimRight(w, "123456789")
			return w == begin || !whole && strings.HasPrefix(w, begin)
		})
	})
}

// names says whether the header speaks of col.
func (h hints) names(col column) bool { return slices.Contains(h.kinds, col) }
