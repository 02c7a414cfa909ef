package cli

import (
	"fmt"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
)

func newVersionCmd(s *Streams) *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "Print which build of sunrill this is",
		GroupID: groupCheck,
		Args:    noArguments,
		RunE: func(*cobra.Command, []string) error {
			if _, err := fmt.Fprintln(s.Out, version()); err != nil {
				return &ranError{fmt.Errorf("cannot write standard output: %w", err)}
			}
			return nil
		},
	}
}

// version returns the module's version, the commit where the build knows it,
// and the Go release.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "sunrill, of an unknown build"
	}
	var line strings.Builder
	line.WriteString("sunrill " + info.Main.Version)
	for _, setting := range info.Settings {
		switch setting.Key {
		case "vcs.revision":
			line.WriteString(" " + setting.Value[:min(12, len(setting.Value))])
		case "vcs.modified":
			if setting.Value == "true" {
				line.WriteString(" with changes")
			}
		}
	}
	return line.String() + ", " + info.GoVersion
}
