"""An organism of any kind: rows that die, flows between them, animals that die of what they carry.

A flow goes at rate × modifier × source; what it takes from one row (or not) it adds to another, `give` ×
modifier for each; a mother goes on in a row of her own. A modifier is max(low + slope × view/view, 0), a view
a weighted sum of rows. The body reads tables alone (`organisms.py`), so it is the same for every organism.

Harm: death rate of a fish with b parasites per gram = most × b^hill / (half^hill + b^hill), averaged over a
gamma distribution of the burden by the nodes in `p.node`; `p.most` holds the stress. What sat on those that
die is lost with them, `p.shed` of it comes free from the corpse.
"""

from __future__ import annotations

from typing import Any

from tankward.model.maths import maximum, power
from tankward.model.rows import At, Rows

LEAST = 1e-12  # below a view this small nothing is divided by it


def see(y: Any, p: Rows, t: Any, w: Rows, i: At) -> None:
    """Views and modifiers, into the work space `w`."""
    for v in range(t.views):
        w.sums[v, i] = 0.0
    for n in range(len(t.seen_row)):
        w.sums[t.seen_view[n], i] += p.weight[n, i] * y[t.seen_row[n], i]
    for m in range(len(t.over)):
        under = maximum(w.sums[t.under[m], i], LEAST)
        w.mod[m, i] = maximum(p.low[m, i] + p.slope[m, i] * w.sums[t.over[m], i] / under, 0.0)


def rates(y: Any, p: Rows, t: Any, kill: Any, dy: Any, w: Rows, i: At) -> None:
    """Rates of all rows, into `dy`. [1/d]

    Parameters
    ----------
    y : array
        Rows × draws; row 0 is 1.
    p : Rows
        Blocks of rate, give, low, slope, weight, die, node, share and rows of harm.
    t : Table
        Which row, which view.
    kill : array
        Death rate of each row by substances. [1/d]
    dy : array
        Written whole.
    w : Rows
        Work space: sums of views, modifiers.
    i : int or slice
        One draw, or all.
    """
    see(y, p, t, w, i)
    for r in range(t.rows):
        dy[r, i] = -(p.die[r, i] + kill[r, i]) * y[r, i]
    for n in range(len(t.healing)):
        r = t.healing[n]
        dy[t.heals[r], i] += (p.die[r, i] + kill[r, i]) * y[r, i]
    for f in range(len(t.source)):
        gone = p.rate[f, i] * y[t.source[f], i]
        if t.taken[f]:  # modifier 0 is 1
            gone = gone * w.mod[t.taken[f], i]
        if t.lose[f]:
            dy[t.source[f], i] -= gone
            dy[t.stays[f], i] += gone  # row 0, nowhere, is set to nothing in the end
        come = p.give[f, i] * gone
        if t.given[f]:
            come = come * w.mod[t.given[f], i]
        dy[t.gain[f], i] += come
    harm(y, p, t, dy, w, i)
    dy[0, i] = 0.0


def harm(y: Any, p: Rows, t: Any, dy: Any, w: Rows, i: At) -> None:
    """Fish die of what they carry. Without nodes nothing happens."""
    burden = w.sums[t.burden, i]
    each = maximum(burden, 0.0) / maximum(w.sums[t.grams, i], LEAST)
    load = power(each / p.half[i], p.hill[i])
    deaths = 0.0 * load
    lost = 0.0 * load
    for q in range(len(p.node)):
        ill = p.node[q, i] * load / (1.0 + p.node[q, i] * load)
        deaths = deaths + ill
        lost = lost + p.share[q, i] * ill
    deaths = p.most[i] * deaths
    lost = p.most[i] * lost
    died = deaths * y[t.fish, i]
    dy[t.fish, i] -= died
    dy[t.lost, i] += died
    for n in range(len(t.hosted)):
        dy[t.hosted[n], i] -= lost * y[t.hosted[n], i]
    dy[t.corpse, i] += p.shed[i] * lost * burden
