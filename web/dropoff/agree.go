package dropoff

import (
	"context"
	"net/http"
	"slices"
	"strconv"

	"coldrail/db"
	"coldrail/domain"
	"coldrail/domain/animal"
	"coldrail/domain/billing"
	"coldrail/domain/cutting"
	"coldrail/web/signin"
	"coldrail/web/ui"
)

// talk is the rest of the conversation at the counter: the order, the quote, what is
// agreed and signed, the deposit (trade.md 1.4, 7 to 10).
type talk struct {
	Order   db.Order      // Version 0: none yet
	Last    *db.LastOrder // what the owner had last time; nil: nothing like it
	Quote   db.Quote
	Lost    [2]domain.Kilogram // shot damage takes off
	Agreed  []string           // the sentences to read out and sign
	Signed  []db.CounterSigned
	Grades  map[animal.DoorLine]animal.Grade
	Deposit domain.Cents
	Storage billing.StorageRule // as it was when it came in

	Signature db.Signature // as typed
	Wrong     *domain.Error
}

// signedNow reports whether what stands now was signed.
func (t talk) signedNow() bool {
	return len(t.Signed) > 0 && slices.Equal(t.Signed[0].Words, t.Agreed)
}

// talk reads what the conversation stands on.
func (p *Pages) talk(ctx context.Context, v *hungView) (err error) {
	t, n := &v.Talk, v.Animal.Number
	if t.Order, _, err = p.DB.NewestOrder(ctx, n); err != nil {
		return err
	}
	last, found, err := p.DB.LastOrder(ctx, n)
	if err != nil {
		return err
	}
	if found {
		t.Last = &last
	}
	if t.Quote, err = p.DB.QuoteFor(ctx, v.Animal.ID, p.Now()); err != nil {
		return err
	}
	if t.Grades, err = p.DB.DoorGrades(ctx, v.Animal.ID); err != nil {
		return err
	}
	t.Lost[0], t.Lost[1] = animal.ShotLoss(t.Grades[animal.DoorShot])
	if t.Signed, err = p.DB.SignedFor(ctx, v.Animal.ID); err != nil {
		return err
	}
	if t.Storage, err = p.DB.StorageAtDoor(ctx, v.Animal); err != nil {
		return err
	}
	account, err := p.DB.Account(ctx, n)
	t.Deposit = account.Invoice().Received()
	for _, w := range v.agreed(ctx).Sentences() {
		t.Agreed = append(t.Agreed, ui.Say(ctx, w))
	}
	return err
}

// fetchWithin is the days within which the slip asks the owner to come.
const fetchWithin = 7

// agreed is what the owner signs for, of this animal.
func (v hungView) agreed(ctx context.Context) animal.Agreed {
	a := animal.Agreed{Damaged: v.Animal.Door == "damaged", OwnMeat: v.Talk.Order.OwnMeatOnly, FetchDays: fetchWithin}
	if v.Expected.Clean > 0 {
		a.Least, a.Most = max(0, v.Expected.Typical-v.Talk.Lost[1]), max(0, v.Expected.Clean-v.Talk.Lost[0])
	}
	if v.Talk.Storage.On {
		a.StorageAfter, a.StorageADay = v.Talk.Storage.AfterDays, v.Talk.Storage.ADay
	}
	a.Sausage = v.Talk.Order.Sausage()
	if !v.Home.To.IsZero() {
		a.To = ui.Day(ctx, ui.Calendar(ctx, v.Home.To))
		a.From = a.To
		if !v.Home.From.IsZero() {
			a.From = ui.Day(ctx, ui.Calendar(ctx, v.Home.From))
		}
	}
	return a
}

// Repeat serves POST /dropoff/{number}/same: the order of last time, read back.
func (p *Pages) Repeat(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	n := ui.ShopNumber(r)
	after, _ := strconv.Atoi(r.FormValue("after")) // anything else is no version, and db says so
	if err := p.DB.RepeatOrder(r.Context(), act, n, after); err != nil {
		return err
	}
	http.Redirect(w, r, "/dropoff/"+string(n)+"/hung", http.StatusSeeOther)
	return nil
}

// Sign serves POST /dropoff/{number}/sign: the sentences of this moment, signed.
func (p *Pages) Sign(w http.ResponseWriter, r *http.Request) error {
	act, err := signin.Act(r, p.Now())
	if err != nil {
		return err
	}
	v, err := p.hung(r)
	if err != nil {
		return err
	}
	s := db.Signature{Signer: r.FormValue("signer"), Strokes: r.FormValue("strokes")}
	err = p.DB.Sign(r.Context(), act, v.Animal.Number, v.Talk.Agreed, s)
	if wrong := domain.As(err); err != nil && (wrong.Kind == domain.Invalid || wrong.Kind == domain.Refused) {
		v.Talk.Wrong, v.Talk.Signature = wrong, s
		return ui.Render(w, r, http.StatusUnprocessableEntity, hungPage(v))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/dropoff/"+string(v.Animal.Number)+"/hung", http.StatusSeeOther)
	return nil
}

// steps are the conversation as far as it has come.
func (v hungView) steps(ctx context.Context) []ui.Step {
	t := v.Talk
	owed := len(v.Owed.Fields())
	list := []ui.Step{
		{Label: ui.T(ctx, "Person, tag and kill"), Done: owed == 0, Note: owedNote(ctx, owed)},
		{Label: ui.T(ctx, "The order"), Done: t.Order.Complete},
		{Label: ui.T(ctx, "Told and signed"), Done: t.signedNow()},
		{Label: ui.T(ctx, "Deposit and receipt"), Done: t.Deposit > 0},
	}
	for i := range list {
		if !list[i].Done {
			list[i].Now = true
			break
		}
	}
	return list
}

func owedNote(ctx context.Context, owed int) string {
	if owed == 0 {
		return ""
	}
	return ui.T(ctx, "%d still owed, may come by phone", owed)
}

// partLine is one line of an order, as it is read back.
func partLine(ctx context.Context, l cutting.Line) string {
	return ui.Capital(ui.Say(ctx, l.Part.Words())) + ": " + ui.Say(ctx, l.Words())
}

// signerOf is the name that stands in the field of whoever signs: as typed, or the
// owner's.
func signerOf(v hungView) string {
	if v.Talk.Signature.Signer != "" || v.Owed.Name == db.NoName {
		return v.Talk.Signature.Signer
	}
	return v.Owed.Name
}

// quoteWords is the sentence about the money.
func quoteWords(ctx context.Context, q db.Quote) string {
	low, high := q.Low.String(), q.High.String()
	switch {
	case q.Low == q.High && q.Taxed:
		return ui.T(ctx, "It costs about %s by our price list, tax in it.", high)
	case q.Low == q.High:
		return ui.T(ctx, "It costs about %s by our price list.", high)
	case q.Taxed:
		return ui.T(ctx, "It costs about %s to %s by our price list, tax in it; sausage and what is added change it.", low, high)
	}
	return ui.T(ctx, "It costs about %s to %s by our price list; sausage and what is added change it.", low, high)
}

// expectWords is the sentence about the pounds, what was shot taken off already.
func expectWords(ctx context.Context, v hungView) string {
	a := v.agreed(ctx)
	if v.Talk.Lost[1] > 0 {
		return ui.T(ctx, "Expect %s to %s of boneless meat, with what was shot taken off; what is dirty comes off that.", a.Least, a.Most)
	}
	return ui.T(ctx, "Expect %s to %s of boneless meat; what is shot or dirty comes off that.", a.Least, a.Most)
}

// doorWords say what the door check does to ageing and to the pounds.
func doorWords(ctx context.Context, v hungView) []string {
	var said []string
	if v.Animal.Door == "damaged" {
		said = append(said, ui.T(ctx, "The door check found a bad fault. It is not aged and is cut first."))
	}
	if v.warmUnsure() {
		said = append(said, ui.T(ctx, "%s deep, and nobody said at what hour it was killed. Ask. Above %s it is a bad fault 12 hours after the kill, and is refused after 24. Smell it at hip and neck, and tell the lead.", ui.Temp(ctx, *v.Animal.DeepC), ui.Temp(ctx, domain.Fahrenheit(50))))
	}
	if v.Talk.Lost[1] > 0 {
		said = append(said, ui.T(ctx, "Shot damage takes about %s to %s off the pounds.", v.Talk.Lost[0], v.Talk.Lost[1]))
	}
	return said
}

// warmUnsure reports whether the hour of the kill is still to be asked, because it came
// so warm.
func (v hungView) warmUnsure() bool {
	return animal.Drop{DeepTemp: v.Animal.DeepC, KilledAt: v.Animal.KilledAt, KilledDayOnly: v.Animal.KilledDayOnly, ReceivedAt: v.Animal.ReceivedAt, Door: v.Talk.Grades}.WarmUnsure()
}
