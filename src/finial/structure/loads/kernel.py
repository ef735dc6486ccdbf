# pyright: basic
# Compiled: the compiler finds the types from the arguments, and its own types say nothing about them.
"""Axial force, shear and bending at every cut of a body, added up from ahead."""

import numpy as np

from finial.core.compiled import inner
from finial.core.typed_kernels import LINE, PLACES, PLANE, of_types
from finial.structure.loads.compiled import LOADS


@inner
def lay_cuts(doubled, single, stations, behind):
    """Put stations in order: where a point acts twice, before it and behind it, others once.

    Parameters
    ----------
    doubled, single : ndarray
        Stations where points act, and others; in order, as often as they come [m].
    stations : ndarray
        In order; overwritten [m].
    behind : ndarray of bool
        Whether each looks from just behind its station [-]; overwritten.

    Returns
    -------
    count : int
        How many there are.

    References
    ----------
    .. [1] Definition.
    """
    count, point, other = 0, 0, 0
    while point < doubled.size or other < single.size:
        acts = other == single.size or (point < doubled.size and doubled[point] <= single[other])
        station = doubled[point] if acts else single[other]
        if acts:
            stations[count], behind[count] = station, False
            count += 1
        stations[count], behind[count] = station, True
        count += 1
        while point < doubled.size and doubled[point] == station:
            point += 1
        while other < single.size and single[other] == station:
            other += 1
    return count


@inner
def add_points(points, order, stations, behind, sums):
    """Add up what acts at points ahead of each station.

    Parameters
    ----------
    points : ndarray, shape (5, n)
        As ``along``: [m], [N], [N], [m], [N m].
    order : ndarray of int, shape (n,)
        Their order along the body [-].
    stations : ndarray, shape (k,)
        In order [m].
    behind : ndarray of bool, shape (k,)
        Whether what acts at the station itself counts [-].
    sums : ndarray, shape (3, k)
        Axial force, shear [N] and bending [N m]; overwritten.

    References
    ----------
    .. [1] As ``along``.
    """
    where, aft, cross, offsets, couples = points
    axial, shear, moment, passed = 0.0, 0.0, 0.0, 0
    for cut in range(stations.size):
        station = stations[cut]
        while passed < order.size:
            one = order[passed]
            if where[one] > station or (where[one] == station and not behind[cut]):
                break
            axial += aft[one]
            shear += cross[one]
            moment += offsets[one] * aft[one] - couples[one] - where[one] * cross[one]
            passed += 1
        sums[0, cut], sums[1, cut], sums[2, cut] = axial, shear, station * shear + moment


@inner
def add_line(nodes, load, stations, forces, moments):
    """Add force and moment about each cut of the line load in front of it, exact.

    Parameters
    ----------
    nodes : ndarray, shape (n,)
        Stations that never fall [m].
    load : ndarray, shape (n,)
        There, straight in between, nothing beyond [N/m].
    stations : ndarray, shape (k,)
        Cuts, in order [m].
    forces, moments : ndarray, shape (k,)
        What is added to [N], [N m]; overwritten.

    References
    ----------
    .. [1] Integral of a straight line.
    """
    force, moment, span = 0.0, 0.0, 0
    for cut in range(stations.size):
        # A cut lies in the span that starts at or before it; behind the last node the load is gone.
        while span < nodes.size - 1 and nodes[span + 1] <= stations[cut]:
            length = nodes[span + 1] - nodes[span]
            slope = (load[span + 1] - load[span]) / length if length > 0.0 else 0.0
            moment += force * length + load[span] * length**2 / 2 + slope * length**3 / 6
            force += load[span] * length + slope * length**2 / 2
            span += 1
        if stations[cut] < nodes[0]:
            continue
        into, height, slope = stations[cut] - nodes[span], 0.0, 0.0
        if span < nodes.size - 1:
            height = load[span]
            slope = (load[span + 1] - height) / (nodes[span + 1] - nodes[span])
        forces[cut] += force + height * into + slope * into**2 / 2
        moments[cut] += moment + force * into + height * into**2 / 2 + slope * into**3 / 6


@of_types(LOADS, PLANE, PLANE, PLACES, LINE)
def along(points, lines, ends, wanted):
    """Add up all that acts ahead of each station.

    Parameters
    ----------
    points : ndarray, shape (5, n)
        Forces at points: station [m], aft and cross [N], offset [m], couple [N m].
    lines : ndarray, shape (3, k)
        Nodes of all line loads, one line after the other: station [m], aft and cross [N/m].
    ends : ndarray of int
        Number of the node behind the last one of each line [-].
    wanted : ndarray
        Further stations [m].

    Returns
    -------
    stations, axial, shear, bending : ndarray
        Where a point acts the station stands twice, before it and after it [m], [N], [N], [N m].

    References
    ----------
    .. [1] As ``finial.structure.loads.along_body.free_body_loads``.
    """
    order = np.argsort(points[0], kind="mergesort")
    doubled = points[0][order]
    single = np.sort(np.concatenate((lines[0], wanted)))
    stations = np.empty(2 * doubled.size + single.size)
    behind = np.empty(stations.size, np.bool_)
    count = lay_cuts(doubled, single, stations, behind)
    stations, behind = stations[:count].copy(), behind[:count]
    sums = np.zeros((3, count))
    add_points(points, order, stations, behind, sums)
    begin, unused = 0, np.zeros(count)
    for end in ends:
        nodes, aft, cross = lines[0, begin:end], lines[1, begin:end], lines[2, begin:end]
        if aft.any():
            add_line(nodes, aft, stations, sums[0], unused)
        if cross.any():
            add_line(nodes, cross, stations, sums[1], sums[2])
        begin = end
    return stations, sums[0], sums[1], sums[2]
