package cli

import (
	"errors"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data/plan"
	"sunrill/energy"
)

// request is what somebody typed after the name of a command that makes a page.
type request struct {
	s     *Streams
	args  []string
	page  pageOptions
	plan  planOptions
	given []plan.Setting // of the flags that stand for one key
	test  testOptions
	twice bool // read the hours twice

	open plan.Opener // what holds the files already, nil for none
	in   *page.Input // the plan, once it is read
}

// command makes a page out of a request. What it is for and examples of it stand
// in help, by its name.
type command struct {
	use, group string
	own        func(*request, *pflag.FlagSet)
	names      func() []string // of what its argument may be, for the shell; nil for a plan
	drawn      bool            // its page has pictures
	make       func(*request) (*document.Document, error)
}

// commands are the commands that make a page, in no order.
var commands = []command{
	{use: "plan [FILE or folder or -]", group: groupStart, own: allFlag, drawn: true, make: (*request).planPage},
	{use: "duty [PLAN]", group: groupParts, drawn: true,
		make: outcomePage(energy.Water, (*page.PlanPage).DutyDocument, (*page.PlanPage).NoDuty)},
	{use: "compare [PLAN]", group: groupParts, drawn: true,
		make: outcomePage(energy.Water, (*page.PlanPage).CompareDocument, (*page.PlanPage).NoPump)},
	{use: "sun [PLAN]", group: groupParts, make: (*request).sunPage},
	{use: "balance [PLAN]", group: groupParts, own: repeatFlag(false, ""), drawn: true, make: (*request).balancePage},
	{use: "tradeoff [FILE or folder or -]", group: groupParts,
		make: outcomePage(energy.All, (*page.PlanPage).TradeoffDocument, (*page.PlanPage).NoAnswer)},
	{use: "size [PLAN]", group: groupParts, own: repeatFlag(true, ", as size always does"), drawn: true,
		make: (*request).sizePage},
	{use: "measure [PLAN]", group: groupCheck, own: testFlags, make: (*request).measurePage},
	{use: "tables [NAME]", group: groupCheck, names: tableNames, make: (*request).tablesPage},
}

// cobra returns the command for the tree, with its flags if it is named.
func (c command) cobra(s *Streams, named func(string) bool) *cobra.Command {
	r := &request{s: s}
	cmd := explained(&cobra.Command{Use: c.use, GroupID: c.group, Args: atMostOne})
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		r.args, r.given = args, r.plan.given()
		return r.run(c.make)
	}
	if !named(cmd.Name()) {
		return cmd
	}
	cmd.Flags().SortFlags = false
	if c.own != nil {
		c.own(r, cmd.Flags())
	}
	if c.names == nil {
		addPlanFlags(cmd, &r.plan)
	} else {
		cmd.ValidArgsFunction = completeFirst(func(*cobra.Command) []string { return c.names() })
	}
	addPageFlags(cmd, &r.page, c.drawn)
	return cmd
}

// run makes the page and writes it, also where it holds no answer.
func (r *request) run(build func(*request) (*document.Document, error)) error {
	if _, _, err := r.page.target(); err != nil {
		return err
	}
	doc, err := build(r)
	var none *page.NoAnswer
	if err != nil && !errors.As(err, &none) {
		return err
	}
	var inputs []string
	if r.in != nil {
		inputs = r.in.Files
	}
	if failed := writePage(r.s, doc, &r.page, inputs); failed != nil {
		return failed
	}
	return err
}
