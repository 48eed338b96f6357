"""Subtraction-free elimination of a graph, in plain loops that run on lists and compiled.

Grassmann, Taksar & Heyman 1985; star-mesh. The diagonal is never formed, so milliohms beside open switches lose no
digits. A source stays on the edge it sits in and is never paid into its two nodes: what goes in at one end would have
to cancel what comes out at the other, and a battery tied to ground through a megohm only would be microvolts out. The
reference is the last node and is never eliminated. The plan is ``kit.solve.ordering``'s.
"""


def _eliminate(n, row, col, fill, w, h, x):
    """Node volts of a graph whose edge from k to a later q carries w·(x[k] − x[q]) + h amps.

    A node with no way on is the root of an island, 0 V.
    """
    _forward(row, fill, w, h, 0, n - 1, 0)
    x[n - 1] = 0.0
    _backward(row, col, w, h, x, 0, n - 1)


def _forward(row, fill, w, h, start, end, f):
    """Eliminate the nodes from ``start`` up to ``end``, the first of them at ``fill[f]``; gives where the next is."""
    last = row[start]
    for k in range(start, end):
        first = last
        last = row[k + 1]
        # Most nodes have one neighbour left, to which nothing is added, or two.
        if last - first < 2:
            continue
        if last - first == 2:
            if w[first] != 0.0:
                s = w[first] + w[first + 1]
                edge = fill[f]
                w[edge] += w[first] / s * w[first + 1]
                h[edge] += w[first] / s * h[first + 1] - h[first] / s * w[first + 1]
            f += 1
            continue
        s = 0.0
        for p in range(first, last):
            s += w[p]
        for p in range(first, last):
            if w[p] == 0.0:
                f += last - p - 1
                continue
            share = w[p] / s
            source = h[p] / s
            for q in range(p + 1, last):
                edge = fill[f]
                w[edge] += share * w[q]
                h[edge] += share * h[q] - source * w[q]
                f += 1
    return f


def _backward(row, col, w, h, x, start, end):
    """The volts of eliminated nodes, from those of later ones."""
    first = row[end]
    for k in range(end - 1, start - 1, -1):
        last = first
        first = row[k]
        if last - first == 1:
            x[k] = (w[first] * x[col[first]] - h[first]) / w[first] if w[first] != 0.0 else 0.0
            continue
        s = 0.0
        total = 0.0
        for p in range(first, last):
            s += w[p]
            total += w[p] * x[col[p]] - h[p]
        x[k] = total / s if s != 0.0 else 0.0


def _straight(n, row, fill, a, b, slot, p0, p1, shut, g, j, w, h, live, base, count):
    """Eliminate what stays as it is: the nodes before the first that one of the ``live`` branches is at.

    Keeps what is left in ``base``; gives that first node, and how far ``fill`` is used up.
    """
    for k in range(len(w)):
        w[k] = 0.0
        h[k] = 0.0
    first, c = n - 1, 0
    for i in range(len(a)):
        if c < count and live[c] == i:
            c += 1
            if a[i] < first:
                first = a[i]
            if b[i] < first:
                first = b[i]
        elif shut[i] == 0:
            g[i] = 0.0
            j[i] = 0.0
        else:
            g[i] = p0[i]
            j[i] = p1[i]
            edge = slot[i]
            if edge >= 0:
                w[edge] += p0[i]
                h[edge] += p1[i] if a[i] < b[i] else -p1[i]
    filled = _forward(row, fill, w, h, 0, first, 0)
    wires = row[first]
    base[0][wires:] = w[wires:]
    base[1][wires:] = h[wires:]
    return first, filled
