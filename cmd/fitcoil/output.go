package main

import "fitcoil/ioformat/outfile"

// Verbs write files by these alone: an interrupt waits for them.

// writeAll writes files into a folder: all of them, or none.
func (c *call) writeAll(folder string, files []outfile.File) error {
	c.writing.Lock()
	defer c.writing.Unlock()
	return outfile.WriteAll(folder, files, c.care())
}

// write writes one file.
func (c *call) write(path string, content []byte) error {
	c.writing.Lock()
	defer c.writing.Unlock()
	return outfile.Write(path, content, c.care())
}

// replace puts content in the place of a file that must still hold old.
func (c *call) replace(path string, old, content []byte) error {
	c.writing.Lock()
	defer c.writing.Unlock()
	return outfile.Replace(path, old, content)
}

// care says what may be overwritten: what exists with --force, what was read
// never.
func (c *call) care() outfile.Options {
	return outfile.Options{Force: c.opt.force, Inputs: c.read}
}
