#!/usr/bin/env python3
"""Writes the output of recompute.py for a log as the table that a test reads.

    python3 recompute.py ../../testdata/lighthouse.csv | python3 table.py > ../../testdata/recomputed/lighthouse.csv

Likewise for each log in testdata/recomputed/logs, which are invented; slip-robust.csv is slip.csv with --robust.
"""
import json, sys

d, out = json.load(sys.stdin), sys.stdout
out.write("""# The fit of a log, computed outside the program by scripts/recompute: values and
# standard uncertainties in SI, ends of 95 % intervals, share of the variance from readings;
# of a reading, residual [Hz], standardised, leverage, Cook's distance, 1 where it is suspect.
name,core,part,hand,value,uncertainty,low,high,readings
""")
g = lambda v: '%.9g' % v
q = d['quality']
for k in ('chi_square', 'degrees_of_freedom', 'p_value', 'scale_factor', 'aicc'):
    if q[k] is not None and q[k] != float('inf'):
        out.write('%s,,,,%s,,,,\n' % (k, g(q[k])))
for k, v in (d['alternative'] or {}).items():
    if v != float('inf'):
        out.write('%s,lumped,,,%s,,,,\n' % (k, g(v)))
for e in d['estimates']:
    part = e['part'] + ' pF' if e['part'][:1].isdigit() else e['part']
    row = [e['name'], e['core'], part, g(e['hand']) if e['hand'] else '']
    if not e['determined']:
        row += ['undetermined', '', '', '', '']
    elif e['u'] is None:  # at a bound
        row += ['bound', '', '', g(e['interval'][1]), '']
    else:
        row += [g(e['value']), g(e['u']), g(e['interval'][0]), g(e['interval'][1]), g(e['shares']['readings'])]
    out.write(','.join(row) + '\n')
for r in d['readings']:
    cells = [g(r['residual']), g(r['standardised']), g(r['leverage']), g(r['cook']), '1' if r['line'] in d['suspects'] else '0']
    out.write(','.join(['line %d' % r['line'], '', '', ''] + cells) + '\n')
