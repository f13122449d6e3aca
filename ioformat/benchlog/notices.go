package benchlog

import "fmt"

// notices collects what the maker should know on how the file was read.
type notices struct {
	file string
	list []string
	said map[string]bool
}

// add notes text on a line of the file, 0 for the whole file.
func (n *notices) add(line int, text string) {
	where := n.file
	if line > 0 {
		where = fmt.Sprintf("%s:%d", n.file, line)
	}
	n.list = append(n.list, where+": "+text)
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
