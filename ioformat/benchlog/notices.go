package benchlog

import (
	"fmt"
	"slices"
	"strings"

	"fitcoil/stable"
)

// notices collects what the maker should know on how the file was read.
type notices struct {
	file string
	list []notice
	said map[string]bool
}

type notice struct {
	line  int // 0: the whole file
	text  string
	aside bool // nothing was assumed or left out
}

// add notes text on a line of the file, 0 for the whole file.
func (n *notices) add(line int, text string) {
	n.list = append(n.list, notice{line: line, text: text})
}

// speaksOf says whether there is a notice on what, on a line.
func (n *notices) speaksOf(line int, what string) bool {
	return slices.ContainsFunc(n.list, func(x notice) bool { return x.line == line && strings.Contains(x.text, what) })
}

// once notes text the first time that key comes up.
func (n *notices) once(key string, line int, text string) {
	if n.said == nil {
		n.said = map[string]bool{}
	}
	if !n.said[key] {
		n.said[key] = true
		n.add(line, text)
	}
}

// aside notes what is plain, and shown only lest it surprise.
func (n *notices) aside(text string) {
	n.list = append(n.list, notice{text: text, aside: true})
}

// warnings is lines without what is an aside.
func (n *notices) warnings() []string {
	return (&notices{file: n.file, list: slices.DeleteFunc(slices.Clone(n.list), func(x notice) bool { return x.aside })}).lines()
}

// lines returns the notices with the file and line that they concern, in the
// order of lines.
func (n *notices) lines() []string {
	stable.Sort(n.list, func(a, b notice) int { return a.line - b.line })
	var lines []string
	for _, x := range n.list {
		where := n.file
		if x.line > 0 {
			where = fmt.Sprintf("%s:%d", n.file, x.line)
		}
		lines = append(lines, where+": "+x.text)
	}
	return lines
}
