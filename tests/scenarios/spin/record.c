/* What somebody at the machine may believe, as bits: f[v] the values that condition v may have, t[v] the seconds that have
   counted towards its settling, o the conditions opened, lo those of which only a look counts, fd the rules found broken,
   wr the conditions with a normal that an act wrote, m the items of a group that are over, ag those once offered again. Every function is a sentence of what looks and acts do to it. */
typedef struct { int n; int v[4], s[4]; } Cube;
typedef struct { int all, from, to, after, hidden; Cube under; int causes; Cube lost[2]; } Condition;
typedef struct { int n, normals, rules; Condition c[4]; Cube rule[4]; } Rig;

/* The conditions that this look contradicted: what was seen and what was believed have nothing in common. */
static int against;

static int surely(const Cube *c) {
  int k; for (k = 0; k < c->n; k++) if (now.f[c->v[k]] & ~c->s[k]) return 0;
  return 1;
}
static int may(const Cube *c) {
  int k; for (k = 0; k < c->n; k++) if (!(now.f[c->v[k]] & c->s[k])) return 0;
  return 1;
}
static int names(const Cube *c, int mask) {
  int k; for (k = 0; k < c->n; k++) if (mask >> c->v[k] & 1) return 1;
  return 0;
}
/* What may give way may have done so; where it surely has, its time is full. */
static void keep(const Rig *p) {
  int v; for (v = 0; v < p->n; v++) if (p->c[v].after) {
    if (now.f[v] & p->c[v].from) now.f[v] |= p->c[v].to; else now.t[v] = p->c[v].after;
  }
}
/* What settles under something is fed by a cause of which no part is any value: it may do so again at any moment. */
static int fed(const Rig *p, int v, const Cube *c) {
  int k; for (k = 0; k < c->n; k++) if (c->s[k] == p->c[c->v[k]].all) return 0;
  return p->c[v].after && p->c[v].under.n;
}
/* What may yet change by itself into what a cause says: it falls, or a cause stands over it. */
static int turns(const Rig *p, int v, int s, int stood) {
  const Condition *c = &p->c[v];
  return stood >> v & 1 || c->after && now.f[v] & c->from && !(c->from & s) && c->to & s;
}
/* Over which conditions a cause stands: it may hold, and it feeds, or another part of it may yet come about by itself. */
static int stands(const Rig *p) {
  int stood = 0, before, v, k, at;
  do {
    before = stood;
    for (v = 0; v < p->n; v++) for (k = 0; k < p->c[v].causes; k++) {
      const Cube *c = &p->c[v].lost[k];
      if (!may(c)) continue;
      if (fed(p, v, c)) stood |= 1 << v;
      for (at = 0; at < c->n; at++) if (c->v[at] != v && turns(p, c->v[at], c->s[at], before)) stood |= 1 << v;
    }
  } while (stood != before);
  return stood;
}
/* Of these, those of which something is known. */
static int known(const Rig *p, int mask) {
  int v, all = 0; for (v = 0; v < p->n; v++) if (mask >> v & 1 && now.f[v] != p->c[v].all) all |= 1 << v;
  return all;
}
/* These were written and those do not last: evidence ends whose cause may hold, clocks begin anew. All that was written. */
static int follows(const Rig *p, int w, int fleeting) {
  int lost = 0, due, of, k;
  do {
    due = fleeting; fleeting = 0;
    for (of = 0; of < p->n; of++) for (k = 0; k < p->c[of].causes; k++)
      if (!(lost >> of & 1) && names(&p->c[of].lost[k], w) && may(&p->c[of].lost[k])) due |= 1 << of;
    lost |= due; w |= due; now.o |= due;
    for (of = 0; of < p->n; of++) if (due >> of & 1) { now.f[of] = p->c[of].all; now.t[of] = 0; }
    keep(p);
  } while (due);
  for (of = 0; of < p->n; of++) if (p->c[of].after && !surely(&p->c[of].under)) now.t[of] = 0;
  keep(p);
  return w;
}
/* A condition has one of these values; what does not last is worth nothing. All that was written. */
static int set(const Rig *p, int v, int s) {
  now.f[v] = s; now.t[v] = 0; now.o &= ~(1 << v); keep(p);
  return follows(p, 1 << v, known(p, stands(p) & 1 << v));
}
/* The same of what was not written. */
static int fades(const Rig *p, int mask) {
  mask = known(p, mask);
  return mask ? follows(p, 0, mask) : 0;
}
static int opened(const Rig *p, int v) {
  int w = set(p, v, p->c[v].all);
  now.o |= 1 << v;
  return w;
}
/* At the look itself what settles is as it was seen: a rule that surely held then was found broken. */
static int shown(const Rig *p, int v, int s, int w) {
  int r, after = now.f[v];
  if (p->c[v].after) {
    now.f[v] &= s;
    for (r = 0; r < p->rules; r++) if (names(&p->rule[r], 1 << v) && surely(&p->rule[r])) now.fd |= 1 << r;
    now.f[v] = after;
  }
  return w;
}
/* Somebody finds out, whatever was believed. */
static int find(const Rig *p, int v, int s) {
  if (!(now.f[v] & s)) against |= 1 << v;
  if (!(now.f[v] & s) && p->c[v].after && !p->c[v].hidden) now.lo |= 1 << v;
  return shown(p, v, s, set(p, v, s));
}
/* An item that is over is no longer, once, if the look contradicted what is its own. */
static void again(int item, int own, int event) {
  if (against & own && now.m >> item & 1 && !(now.ag >> item & 1)) {
    now.m &= ~(1 << item); now.ag |= 1 << item; seen[event] = 1;
  }
}
/* Somebody looks: what was believed and what was seen have these in common, or it is a surprise. */
static int look(const Rig *p, int v, int s) {
  int both = now.f[v] & s;
  if (!both) return find(p, v, s);
  if (now.o >> v & 1) return shown(p, v, both, set(p, v, both));
  now.f[v] = both; keep(p);
  return shown(p, v, both, 1 << v | fades(p, stands(p) & 1 << v));
}
/* Rules found broken by a look at these, and those that ended. */
static void note(const Rig *p, int seen) {
  int r; for (r = 0; r < p->rules; r++) {
    if (names(&p->rule[r], seen) && surely(&p->rule[r])) now.fd |= 1 << r;
    if (!may(&p->rule[r])) now.fd &= ~(1 << r);
  }
}
/* An act writes: rules that may hold then are broken, unless they were found so. */
static void act(const Rig *p, int v, int s, int opens, int event) {
  int r, w = opens ? opened(p, v) : set(p, v, s);
  now.wr |= w & p->normals;
  for (r = 0; r < p->rules; r++) if (!(now.fd >> r & 1) && names(&p->rule[r], w) && may(&p->rule[r])) {
    now.bk |= 1 << r; seen[event + r] = 1;
  }
}
/* In which parts a broken rule does not hold: the first memberships hold and the next does not. */
static int parts(const Rig *p, int r) {
  const Cube *c = &p->rule[r]; int k, all = 0;
  for (k = 0; k < c->n; k++) {
    if (now.f[c->v[k]] & ~c->s[k]) all |= 1 << k;
    if (!(now.f[c->v[k]] & c->s[k])) break;
  }
  return all;
}
static void cut(const Rig *p, int r, int part) {
  const Cube *c = &p->rule[r]; int k;
  for (k = 0; k < part; k++) now.f[c->v[k]] &= c->s[k];
  now.f[c->v[part]] &= ~c->s[part];
}
/* Something else than ending what was found broken; then the end of an act, which has to end one. */
static void other(int event) {
  if (now.fd) { seen[event] = 1; now.fd = 0; }
}
static void over(const Rig *p, int event) {
  int before = now.fd;
  note(p, 0);
  if (now.fd == before) other(event);
}
/* Time passes; what settles meanwhile does not last where a cause stood over it before. */
static void pass(const Rig *p, int time) {
  int v, counts = 0, stood = stands(p), settled = 0;
  for (v = 0; v < p->n; v++) if (p->c[v].after && surely(&p->c[v].under)) counts |= 1 << v;
  for (v = 0; v < p->n; v++) if (counts >> v & 1) {
    now.t[v] = now.t[v] + time < p->c[v].after ? now.t[v] + time : p->c[v].after;
    if (now.t[v] == p->c[v].after && !(now.lo >> v & 1)) {
      if (now.f[v] & p->c[v].from) settled |= 1 << v;
      now.f[v] &= ~p->c[v].from;
    }
  }
  keep(p);
  fades(p, settled & stood);
}
static void need(int v, int s, int event) { if (now.f[v] & ~s) seen[event] = 1; }
static int empty(const Rig *p) {
  int v; for (v = 0; v < p->n; v++) if (!now.f[v]) return 1;
  return 0;
}
/* Whether each condition may have a value that no answer shows. */
static int unanswered(const Rig *p, const int *shown) {
  int v; for (v = 0; v < p->n; v++) if (!(now.f[v] & ~shown[v])) return 0;
  return 1;
}
static int start(const Rig *p, int event) {
  int r, broken = 0;
  keep(p);
  for (r = 0; r < p->rules; r++) if (surely(&p->rule[r])) { seen[event + r] = 1; broken = 1; }
  fades(p, stands(p));
  return broken;
}
