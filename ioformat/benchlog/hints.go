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

// hint lists how words begin by which people name a column, in English, German,
// French and Spanish (common practice); = stands behind whole words.
func hint(c column) string {
	switch c {
	case frequency:
		return "f= f0= fr= fres= fo= freq frequ fréq frec frék reson réson"
	case added:
		return "c= ctop= cext= cadd= cap capac kapaz cond kond add added extra zusatz zugef load top= ext ajout añad agreg"
	case core:
		return "core ferrit rod slug kern noyau núcleo nucleo bead stab="
	case covered:
		return "cover insertion overlap abdeck eingetaucht couvert cubiert"
	case hand:
		return "hand dist abstand entfern palm person body main= mano"
	case amplitude:
		return "amp vpp= peak pickup level signal spannung"
	case quality:
		return "q= qual güte guete calidad"
	case use:
		return "use used valid ok= keep"
	case note:
		return "note remark comment bemerk anmerk kommentar remarque nota observ coment"
	}
	return ""
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
		if matches(words, hint(col)) {
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
