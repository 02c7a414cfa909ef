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
			_, err := fmt.Fprintln(s.Out, version())
			return err
		},
	}
}

// version returns the module's version, then the commit, where the build knows
// it, and what it was built with and for.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "sunrill, of an unknown build"
	}
	setting := map[string]string{}
	for _, s := range info.Settings {
		setting[s.Key] = s.Value
	}
	lines := []string{"sunrill " + info.Main.Version}
	if commit := setting["vcs.revision"]; commit != "" {
		line := "commit " + commit + " of " + setting["vcs.time"]
		if setting["vcs.modified"] == "true" {
			line += ", with changes"
		}
		lines = append(lines, line)
	}
	return strings.Join(append(lines, "built with "+info.GoVersion+" for "+setting["GOOS"]+"/"+setting["GOARCH"]), "\n")
}
