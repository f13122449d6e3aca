package quantity

import (
	"fmt"
	"strings"
)

// Count says how many there are of something: "1 reading", "3 readings".
func Count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Listed joins words as a sentence does, the last two by another: "4, 7 and 9".
func Listed(words []string, by string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:last], ", ") + " " + by + " " + words[last]
}
