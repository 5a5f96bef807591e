// Package cutting is the cutter's part of the shop: which carcass comes next
// and why, how its owner wants it, what came off the table, and where it went.
package cutting

import (
	"context"
	"net/http"
	"slices"
	"strconv"
	"time"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// Pages serves the cutting room and the order.
type Pages struct {
	DB  *db.DB
	Now func() time.Time
}

// shown is how many lines of a list a page shows before it asks.
const shown = 25

// startForm is what the cutter says when a carcass comes to the table.
type startForm struct {
	Act, Tag, Card, Why string
}

// nextView is the carcass at the top of the page, with its order.
type nextView struct {
	db.Queued
	Orders []db.Order        // one, or one a portion
	First  domain.ShopNumber // what comes before it; empty where it is the first
}

// roomView is the cutting room: what comes next, what waits, what may not.
type roomView struct {
	Next              *nextView
	Ready             []db.Queued       // behind the next one
	Unready           []db.Queued       // what is ready soonest first
	Barred            []db.Queued       // the fewest days left first
	First             domain.ShopNumber // whose turn it is; anybody takes that one
	NotNow            *db.Queued        // that was asked for and may not be cut
	ReadyOnes, Others int               // how many are ready and how many not, the next one too
	Table             []db.NowAtTable
	Unboxed           []db.NowAtTable
	More, MoreUnready int // lines that are not shown: ready ones, and others
	Tubs              int // that stand about
	Lead              bool
	Now               time.Time
	Form              startForm
}

// Show serves GET /cutting: the next carcass, large, and the rest behind it. With
// ?take= the lead looks at another instead.
func (p *Pages) Show(w http.ResponseWriter, r *http.Request) error {
	v, err := p.room(r.Context(), domain.ShopNumber(r.FormValue("take")), r.FormValue("all") != "")
	if err != nil {
		return err
	}
	v.Form.Act = signin.NewAct()
	return ui.Render(w, r, http.StatusOK, roomPage(v, nil))
}

// Start serves POST /cutting/{number}/start: the carcass comes to the table.
func (p *Pages) Start(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	number := ui.ShopNumber(r)
	f := startForm{Act: r.FormValue("act"), Tag: r.FormValue("tag"), Card: r.FormValue("card"), Why: r.FormValue("why")}
	version, _ := strconv.Atoi(r.FormValue("version")) // anything else is no version, and not the newest
	err = p.DB.Start(r.Context(), act, number, db.Taking{TagRead: f.Tag, Card: f.Card, Version: version, Why: f.Why})
	if wrong := domain.As(err); err != nil && wrong.Kind != domain.Internal && wrong.Kind != domain.NotFound {
		v, err := p.room(r.Context(), number, false)
		if err != nil {
			return err
		}
		if v.Form = f; wrong.At == "identity" {
			v.Form = startForm{Act: signin.NewAct()} // the holds were written under the act that was sent
		}
		return ui.Render(w, r, http.StatusUnprocessableEntity, roomPage(v, wrong))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/cutting/"+string(number), http.StatusSeeOther)
	return nil
}

// room gathers the page. Take is what somebody wants instead of the first.
func (p *Pages) room(ctx context.Context, take domain.ShopNumber, whole bool) (v roomView, err error) {
	v.Now, v.Lead = p.Now(), signin.Holder(ctx).Staff.Has("lead")
	queue, barred, err := p.DB.CuttingQueue(ctx, v.Now)
	if err != nil {
		return v, err
	}
	v.Barred = barred
	if i := slices.IndexFunc(barred, func(q db.Queued) bool { return q.Number == take }); i >= 0 {
		v.NotNow = &barred[i]
	}
	if v.Table, err = p.DB.AtTable(ctx); err != nil {
		return v, err
	}
	if v.Unboxed, err = p.DB.Unboxed(ctx); err != nil {
		return v, err
	}
	tubs, err := p.DB.OpenTubs(ctx)
	if v.Tubs = len(tubs); err != nil || len(queue) == 0 {
		return v, err
	}
	v.First = queue[0].Number
	if v.Next, err = p.next(ctx, queue, take); err != nil {
		return v, err
	}
	v.split(queue)
	if !whole {
		v.Ready, v.More = shortened(v.Ready)
		v.Unready, v.MoreUnready = shortened(v.Unready)
	}
	return v, nil
}

// shortened is what of a list is shown at first, and how many more there are: a button
// that would show a handful takes as much room as they do.
func shortened(list []db.Queued) ([]db.Queued, int) {
	if len(list) <= shown+5 {
		return list, 0
	}
	return list[:shown], len(list) - shown
}

// split parts what waits behind the next one into what is ready and what is not.
func (v *roomView) split(queue []db.Queued) {
	for _, q := range queue {
		n, list := &v.ReadyOnes, &v.Ready
		if q.Unready {
			n, list = &v.Others, &v.Unready
		}
		*n++
		if v.Next == nil || q.Number != v.Next.Number {
			*list = append(*list, q)
		}
	}
	readyFirst(v.Unready)
}

// version is the order version on the screen.
func (n nextView) version() (version int) {
	for _, o := range n.Orders {
		version = max(version, o.Version)
	}
	return version
}

// next picks the carcass for the top of the page and reads its order. What is not
// ready comes there only when somebody asks for it.
func (p *Pages) next(ctx context.Context, queue []db.Queued, take domain.ShopNumber) (*nextView, error) {
	i := max(0, slices.IndexFunc(queue, func(q db.Queued) bool { return q.Number == take }))
	if queue[i].Unready && queue[i].Number != take {
		return nil, nil
	}
	n := &nextView{Queued: queue[i]}
	if i > 0 {
		n.First = queue[0].Number
	}
	var err error
	n.Orders, err = p.DB.StandingOrders(ctx, n.Number)
	return n, err
}
