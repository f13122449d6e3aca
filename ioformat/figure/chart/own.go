package chart

import "bytes"

// maker stands in every figure that is a file of its own.
const maker = "drawn by fitcoil"

// IsOwn tells whether content is a figure that Render made: such a file may be replaced
// by the next.
func IsOwn(content []byte) bool {
	for _, magic := range []string{"<svg ", "\x89PNG", "%PDF-"} {
		if bytes.HasPrefix(content, []byte(magic)) {
			return bytes.Contains(content, []byte(maker))
		}
	}
	return false
}
