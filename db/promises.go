package db

import (
	"context"
	"time"

	"coldrail/domain"
	"coldrail/domain/message"

	"github.com/jackc/pgx/v5"
)

// Promise notes the day the owner was told the meat is ready. It may move; the
// time line keeps every day that was named.
func (db *DB) Promise(ctx context.Context, act Act, number domain.ShopNumber, day time.Time) error {
	shop, err := db.Shop(ctx)
	if err != nil {
		return err
	}
	return db.act(ctx, act, "promise", func(tx pgx.Tx) (line, error) {
		a, err := lockAnimal(ctx, tx, number)
		if err != nil {
			return line{}, err
		}
		if err := a.Physical.CheckPromise(day, act.At.In(shop.Location())); err != nil {
			return line{}, err
		}
		detail := map[string]any{"day": day.Format(time.DateOnly)}
		if a.PromisedOn != nil {
			detail["before"] = a.PromisedOn.UTC().Format(time.DateOnly)
		}
		_, err = tx.Exec(ctx, `UPDATE animals SET promised_on = $2, revision = revision + 1 WHERE id = $1`, a.ID, day)
		if before, named := detail["before"].(string); err == nil && named && before != detail["day"] {
			err = db.tellOwners(ctx, tx, act, a.ID, cause{Kind: message.Moved, About: before})
		}
		return line{Animal: a.ID, What: "promise", Detail: detail}, err
	})
}
