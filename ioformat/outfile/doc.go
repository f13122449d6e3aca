// Package outfile writes files that are there whole or not at all.
//
// It believes that what a user has is worth more than what a program makes:
// nothing that exists is overwritten unasked, and an input of the run never,
// whatever name, symbolic or hard link it is reached by.
//
// Content goes to a temporary file in the folder of its target, is flushed to
// the disk and then takes the target's name in one step. A write that fails, or
// is refused, leaves the folder as it was. Devices and pipes (/dev/null,
// /dev/stdout) are written to directly: there is nothing to keep whole.
//
// A program killed between the two steps can leave a temporary file behind,
// named .fitcoil-… in that folder, but never half a target. The next call that
// writes there clears it, unless a process still has it in use. A caller that
// catches the interrupt signal and lets a call finish leaves nothing.
//
// [Update] changes a file that several runs may change at once. They wait for
// each other by a lock, up to 20 s, which the system takes from a run that is killed.
//
// All errors are of type [*Error].
package outfile
