package coilsheet

import (
	"bytes"
	"slices"
	"strings"

	"fitcoil/ioformat/cells"
)

// IsSheet tells from the beginning of a file whether it is meant to be a coil sheet: its
// header has a quantity and a value, and no frequency.
func IsSheet(start []byte) bool {
	t, err := cells.NewTable(bytes.NewReader(start), "")
	if err != nil {
		return false
	}
	has := func(name string) bool {
		return slices.ContainsFunc(t.Header, func(h string) bool { return strings.EqualFold(strings.TrimSpace(h), name) })
	}
	return has("quantity") && has("value")
}
