package cli

import (
	"context"
	"errors"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"sunrill/cmd/internal/document"
	"sunrill/cmd/internal/page"
	"sunrill/data"
	"sunrill/data/figure"
	"sunrill/data/plan"
	"sunrill/data/units"
	"sunrill/energy"
	"sunrill/energy/battery"
	"sunrill/solar/sky"
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
		make: outcomePage(energy.Flows, (*page.PlanPage).DutyDocument, (*page.PlanPage).NoDuty)},
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

// allFlag declares what asks for the whole page where a short one stands in.
func allFlag(r *request, flags *pflag.FlagSet) {
	flags.BoolVar(&r.page.all, "all", false, "print the long page: every table, what was assumed, sources (--working implies it)")
	markGroup(flags, groupPage, "all")
}

func (r *request) planPage() (*document.Document, error) {
	// With nothing to plan, the demo shows what a page looks like.
	if len(r.args) == 0 && len(r.given) == 0 && len(r.plan.sets) == 0 {
		r.plan.demo = true
	}
	if r.page.short() {
		return outcomePage(energy.Improved, (*page.PlanPage).Short, (*page.PlanPage).NoAnswer)(r)
	}
	return outcomePage(energy.All, (*page.PlanPage).Document, (*page.PlanPage).NoAnswer)(r)
}

// outcomePage returns what makes a page of what a plan comes to, as far as depth; why is
// the reason where that holds no answer.
func outcomePage(depth energy.Depth, of func(*page.PlanPage) *document.Document, why func(*page.PlanPage) units.Text,
) func(*request) (*document.Document, error) {
	return func(r *request) (*document.Document, error) {
		if err := r.read(plan.NeedDuty); err != nil {
			return nil, err
		}
		made, err := r.in.JobTo(context.Background(), depth)
		if err != nil {
			return nil, err
		}
		return of(made), page.Answered(why(made))
	}
}

func (r *request) sunPage() (*document.Document, error) {
	if err := r.read(plan.NeedSite); err != nil {
		return nil, err
	}
	files, err := r.in.ReadSite()
	if err != nil {
		return nil, err
	}
	sky, err := sky.NewSky(&r.in.Plan, files, nil)
	if err != nil {
		return nil, r.in.Placed(err)
	}
	return page.NewSunView(sky).Document(r.in), nil
}

// repeatFlag declares whether the hours are read twice; size does so anyway, and takes the
// flags of balance.
func repeatFlag(twice bool, usage string) func(*request, *pflag.FlagSet) {
	return func(r *request, flags *pflag.FlagSet) {
		flags.BoolVar(&r.twice, "repeat", twice, "read the hours twice and count the second reading"+usage)
		markGroup(flags, groupReading, "repeat")
	}
}

// store reads the plan and every file that says what a battery meets. need is
// what the command cannot do without beside a load and a site. A page.NoAnswer
// has a document, which says so.
func (r *request) store(need plan.Need) (*energy.Storage, *document.Document, error) {
	if err := r.read(0); err != nil {
		return nil, nil, err
	}
	p := &r.in.Plan
	if p.Load.Series == "" {
		need |= plan.NeedSite
	}
	if len(p.Pumps) == 0 {
		need |= plan.NeedLoad
	}
	err := data.Joined(p.Missing(need))
	if err != nil {
		return nil, nil, err
	}
	files := energy.StorageFiles{Curves: r.in.Curves}
	if p.Load.Series != "" {
		files.Series, err = page.ReadFile(r.in, "load.series", data.ReadSeries)
	} else {
		files.SiteFiles, err = r.in.ReadSite()
	}
	if err != nil {
		return nil, nil, err
	}
	if files.Logged, err = r.in.Logged(); err != nil {
		return nil, nil, err
	}
	storage, err := energy.NewStorage(p, files)
	var none *energy.NoPump
	if errors.As(err, &none) {
		doc, err := page.NoStorage(r.in, "no load is known: "+none.Why)
		return nil, doc, err
	}
	return storage, nil, r.in.Placed(err)
}

func (r *request) balancePage() (*document.Document, error) {
	need := plan.NeedPanel | plan.NeedStore
	if r.plan.demo {
		need = 0
	}
	storage, none, err := r.store(need)
	if err != nil {
		return none, err
	}
	if r.in.Demo {
		if err := storage.TakeSized(); err != nil {
			return nil, r.in.Placed(err)
		}
	}
	v := &page.BalanceView{In: r.in, Storage: storage, Repeat: r.twice}
	if v.Balance, err = storage.Balance(r.twice); err != nil {
		return nil, r.in.Placed(err)
	}
	v.Kept = figure.Unknown[battery.Balance](page.FrostIsGiven)
	if indoors := storage.Sheltered(); indoors != storage {
		kept, err := indoors.Balance(r.twice)
		if err != nil {
			return nil, err
		}
		v.Kept = figure.Known(kept)
	}
	return v.Document(), nil
}

func (r *request) sizePage() (*document.Document, error) {
	storage, none, err := r.store(0)
	if err != nil {
		return none, err
	}
	if !r.twice {
		return nil, &data.Error{Key: "--repeat", Found: "false", Message: "size reads the hours twice",
			Allowed: "true; sunrill balance reads them once"}
	}
	storage = storage.Sheltered()
	size, err := storage.Size()
	if err != nil {
		return nil, r.in.Placed(err)
	}
	v := &page.SizeView{In: r.in, Storage: storage, Size: size}
	return v.Document(), v.NoAnswer()
}
