package main

import (
	"fmt"
	"io"
	"runtime"
	"runtime/debug"
	"strings"
)

func versionVerb() *verb {
	return &verb{
		name: "version", brief: "print the version of fitcoil",
		about: `
Prints the version of the module, the revision of its source and whether that
was changed since, as far as the build recorded them.`,
		example: []string{"fitcoil version"},
		do: func(c *call) error {
			_, err := io.WriteString(c.out, versionText(buildInfo()))
			return err
		},
	}
}

func buildInfo() *debug.BuildInfo {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return &debug.BuildInfo{}
	}
	return info
}

// version is the version in one line, the same on every machine.
func version() string {
	lines := strings.Split(versionText(buildInfo()), "\n")
	return strings.TrimPrefix(strings.Join(lines[:len(lines)-2], ", "), "fitcoil ")
}

// versionText tells what the build recorded of itself.
func versionText(info *debug.BuildInfo) string {
	version := info.Main.Version
	if version == "" {
		version = "of unknown version"
	}
	setting := map[string]string{}
	for _, s := range info.Settings {
		setting[s.Key] = s.Value
	}
	text := "fitcoil " + version + "\n"
	if revision := setting["vcs.revision"]; revision != "" {
		state := "unchanged"
		if setting["vcs.modified"] == "true" {
			state = "with changes"
		}
		text += fmt.Sprintf("revision %s of %s, %s\n", revision, setting["vcs.time"], state)
	}
	return text + fmt.Sprintf("%s for %s on %s\n", runtime.Version(), runtime.GOOS, runtime.GOARCH)
}
