// Package release says which release of the program is running, and what it was built from.
package release

import (
	"fmt"
	"runtime/debug"
)

// development is the version of a program that was built from a working copy.
const development = "development"

// Version is the version of the running program: the one set when a release was built, else that of the module it was
// installed as, as "v1.2.0", else "development". A working copy has a version of the module, too, made up by the go
// command; it names no release and is not told.
func Version(set string, info *debug.BuildInfo) string {
	switch {
	case set != "":
		return set
	case info == nil, info.Main.Version == "", info.Main.Version == "(devel)", setting(info, "vcs.revision") != "":
		return development
	}
	return info.Main.Version
}

// Build says from which commit the program was built, if it knows, and with which Go: "(d51e0e5d51e0, changed,
// go1.26.8)". It is empty when nothing is known.
func Build(info *debug.BuildInfo) string {
	if info == nil {
		return ""
	}
	commit, changed := setting(info, "vcs.revision"), ""
	if len(commit) < shownCommit {
		return "(" + info.GoVersion + ")"
	}
	if setting(info, "vcs.modified") == "true" {
		changed = ", changed"
	}
	return fmt.Sprintf("(%s%s, %s)", commit[:shownCommit], changed, info.GoVersion)
}

// shownCommit is how many characters of a commit's name are told.
const shownCommit = 12

// setting is what the go command has noted under a key, empty for nothing.
func setting(info *debug.BuildInfo, key string) string {
	for _, s := range info.Settings {
		if s.Key == key {
			return s.Value
		}
	}
	return ""
}
