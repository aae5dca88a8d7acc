package release

import (
	"runtime/debug"
	"testing"
)

// What the go command notes is from runs of go1.26: go build in a working copy, go build outside of one, and go install
// with a version.
func TestVersionAndBuild(t *testing.T) {
	commit := debug.BuildSetting{Key: "vcs.revision", Value: "d51e0e5aaaaabbbbbcccccdddddeeeeefffff000"}
	dirty := debug.BuildSetting{Key: "vcs.modified", Value: "true"}
	of := func(version string, settings ...debug.BuildSetting) *debug.BuildInfo {
		return &debug.BuildInfo{GoVersion: "go1.26.8", Main: debug.Module{Path: "app/unband", Version: version}, Settings: settings}
	}
	for _, c := range []struct {
		name           string
		set            string
		info           *debug.BuildInfo
		version, build string
	}{
		{"archive", "1.2.0", of("v0.0.0-20261125142600-d51e0e5aaaaa", commit), "1.2.0", "(d51e0e5aaaaa, go1.26.8)"},
		{"working copy", "", of("v0.0.0-20261125142600-d51e0e5aaaaa+dirty", commit, dirty), "development", "(d51e0e5aaaaa, changed, go1.26.8)"},
		{"outside of a working copy", "", of("(devel)"), "development", "(go1.26.8)"},
		{"installed as a module", "", of("v1.2.0"), "v1.2.0", "(go1.26.8)"},
		{"nothing known", "", nil, "development", ""},
		{"only what was set", "1.2.0", nil, "1.2.0", ""},
	} {
		if got := Version(c.set, c.info); got != c.version {
			t.Errorf("%s: version %q, want %q", c.name, got, c.version)
		}
		if got := Build(c.info); got != c.build {
			t.Errorf("%s: build %q, want %q", c.name, got, c.build)
		}
	}
}
