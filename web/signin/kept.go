package signin

import (
	"context"
	"net/http"
	"strconv"
	"time"

	"coldrail/db"
	"coldrail/domain"
)

// What a tablet sends along with an act it kept. Times are milliseconds since
// 1970 by its own clock.
const (
	headerDoneAt    = "Coldrail-Done-At"    // when the act was done
	headerDeviceNow = "Coldrail-Device-Now" // when it is sent
	headerShift     = "Coldrail-Shift"      // the token of whoever did it
)

type shiftKey struct{}

// onShift gives the request to the person whose shift's token it carries: whoever
// holds the tablet by now may be another. A token nobody gave out is refused. What
// the tablet's clock is off by is noted on the device that made the acts: a tablet
// that lost its sign-in is listed as a new one since.
func (p *Pages) onShift(r *http.Request, ctx context.Context) (context.Context, error) {
	if token := r.Header.Get(headerShift); token != "" {
		shift, err := p.DB.ShiftOf(ctx, token)
		if err != nil {
			return ctx, err
		}
		ctx = context.WithValue(With(ctx, db.Holder{Device: shift.Device, Staff: shift.Staff}), shiftKey{}, shift)
	}
	device, ok := millis(r, headerDeviceNow)
	if !ok {
		return ctx, nil
	}
	return ctx, p.DB.NoteClock(ctx, Holder(ctx).Device, device.Sub(p.Now()), p.Now())
}

// kept puts an act that was kept on a tablet at the time it was done, by the
// shop's clock. Only a shift vouches for a time gone by; an act without one
// counts from now, beside the time the tablet gives.
func kept(r *http.Request, act db.Act) (db.Act, error) {
	done, ok := millis(r, headerDoneAt)
	sent, also := millis(r, headerDeviceNow)
	if !ok || !also {
		return act, nil
	}
	now := act.At
	act.Arrived, act.DeviceAt, act.Ahead = now, done, sent.Sub(now)
	shift, on := r.Context().Value(shiftKey{}).(db.Shift)
	if !on {
		return act, nil
	}
	if act.At = act.True(done); act.At.After(now) {
		act.At = now
	}
	if act.At.After(shift.EndsAt) || act.At.Before(shift.BeginsAt.Add(-clockSlack)) {
		return act, domain.Refuse("shift", "The twelve hours of %s on this tablet were over when this was kept. Look at it and send it in your own name.", shift.Staff.Name)
	}
	return act, nil
}

// clockSlack is what the two measurements of a tablet's clock may differ by:
// the same ten minutes a walk is allowed (readiness.md section 8).
const clockSlack = 10 * time.Minute

func millis(r *http.Request, header string) (time.Time, bool) {
	n, err := strconv.ParseInt(r.Header.Get(header), 10, 64)
	return time.UnixMilli(n).UTC(), err == nil && n > 0
}
