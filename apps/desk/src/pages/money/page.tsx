import { formatDate, parseDate } from '@fillwright/core/units';
import { type MoneyStatement, type ReplyOf, urlOf } from '@fillwright/wire';
import { useDraft } from '../../data/draft.ts';
import { useAsk } from '../../data/hub.ts';
import { useWhere } from '../../data/where.ts';
import { LabelledInput } from '../../field/labelled-input.tsx';
import { Mark } from '../../look/marks.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { moneyText, plural } from '../../show/amounts.ts';
import { LongFile } from '../../show/long-file.tsx';
import { ClosePeriod } from './close-period.tsx';
import { Corrections, TakenBack } from './corrections.tsx';
import { Jurisdictions } from './jurisdictions.tsx';
import { Odd } from './odd.tsx';
import { SumsTable } from './sums-table.tsx';
import { Taxes } from './taxes.tsx';
import '../../show/show.css';
import './money.css';

type Span = { readonly from: string; readonly to: string };

/** A month's close: what was drawn, taxed and is due; what a person should look at first; closing it with a word. */
export default function MoneyPage() {
  const money = useAsk('money', {});
  const [where, change] = useWhere();
  const span = where.from && where.to ? { from: where.from, to: where.to } : money.data?.next;
  return (
    <div className="page">
      <div className="page-head">
        <h1>Money</h1>
        {span && <Downloads span={span} />}
      </div>
      <p className="quiet small">
        Supports a decision: not tax advice, and no certified record of trade. Names, prices and tiers are those of the
        draft until a period is closed.
      </p>
      {money.isError && <ProblemNote problem={money.error.problem} />}
      {money.isPending && <p role="status">Asking for the accounts …</p>}
      {money.data && span && <Choose money={money.data} span={span} onChoose={change} />}
      {span && <Shown key={`${span.from} ${span.to}`} span={span} />}
      {money.data && <Taxes taxes={money.data.taxes} />}
    </div>
  );
}

function Downloads({ span }: { span: Span }) {
  return (
    <div className="row no-print">
      <LongFile name="statementPdf" give={{ query: span }} file={`statement-${span.from}-${span.to}.pdf`}>
        PDF
      </LongFile>
      <a className="button" href={urlOf('statementBook', { query: span })} download>
        Workbook
      </a>
      <a className="button" href={urlOf('statementCsv', { query: span })} download>
        CSV
      </a>
    </div>
  );
}

function Choose(props: { money: ReplyOf<'money'>; span: Span; onChoose: (span: Span) => void }) {
  const { money, span, onChoose } = props;
  const choices = [money.next, ...[...money.periods].reverse()];
  const chosen = choices.findIndex((c) => c.from === span.from && c.to === span.to);
  const set = (part: Partial<Span>) => {
    const next = { ...span, ...part };
    if (parseDate(next.from) !== undefined && parseDate(next.to) !== undefined) onChoose(next);
  };
  return (
    <div className="money-span">
      <label className="field">
        <span className="field-label">Period</span>
        <select
          className="input"
          value={chosen}
          onChange={(e) => {
            const c = choices[Number(e.target.value)];
            if (c) onChoose({ from: c.from, to: c.to });
          }}
        >
          {choices.map((c, i) => (
            <option key={`${c.from} ${c.to}`} value={i}>
              {c.from} to {c.to}, {'number' in c ? 'closed' : 'open'}
            </option>
          ))}
          {chosen < 0 && <option value={-1}>other days</option>}
        </select>
      </label>
      <LabelledInput label="From" type="date" value={span.from} onText={(from) => set({ from })} />
      <LabelledInput label="To" type="date" value={span.to} onText={(to) => set({ to })} />
    </div>
  );
}

function Shown({ span }: { span: Span }) {
  const asked = useAsk('moneyStatement', { query: span });
  if (asked.isError) return <ProblemNote problem={asked.error.problem} />;
  if (!asked.data) return <p role="status">Adding up …</p>;
  const s = asked.data;
  return (
    <>
      <Standing s={s} />
      <Odd s={s} />
      <SumsTable s={s} />
      <TakenBack s={s} />
      <Corrections s={s} />
      <Jurisdictions s={s} />
      {s.state !== 'closed' && <ClosePeriod s={s} />}
    </>
  );
}

const dayAfter = (date: string): string => formatDate((parseDate(date) ?? 0) + 1);

/** Whether it is closed, open or only a look, and what is due, in one line. */
function Standing({ s }: { s: MoneyStatement }) {
  const { fleet } = useDraft();
  return (
    <div className="money-standing">
      <div>
        <div className="small quiet">Due</div>
        <div className="money-due">{moneyText(fleet, s.whole.due)}</div>
      </div>
      <div>
        <div className="small quiet">Fills</div>
        <div>{s.whole.fills}</div>
        {s.whole.takenBack > 0 && <div className="small quiet">and {s.whole.takenBack} taken back</div>}
      </div>
      <div>
        {s.state === 'closed' && s.period && (
          <>
            <Mark is="good">Closed</Mark>
            <div className="small quiet">
              period {s.period.number}, by {s.period.closedBy}: {s.period.word}
            </div>
            <div className="small quiet fixed money-digest" title="Digest of the statement as it was kept">
              {s.period.digest.slice(0, 16)}
            </div>
          </>
        )}
        {s.state === 'next' && (
          <>
            <Mark is="note">Open</Mark>
            <div className="small quiet">
              {s.over ? 'Over at every site: may be closed.' : `May be closed from ${dayAfter(s.to)} on.`}
              {s.open > 0 && ` ${plural(s.open, 'fill has', 'fills have')} not ended: late if this is closed before.`}
            </div>
            {s.tooLate > 0 && (
              <div className="small">
                <Mark is="warning">Too late</Mark> {plural(s.tooLate, 'fill')} of closed days came more than 400 days
                late and {s.tooLate === 1 ? 'is' : 'are'} in no statement: write {s.tooLate === 1 ? 'it' : 'them'} as a
                correction.
              </div>
            )}
          </>
        )}
        {s.state === 'span' && (
          <>
            <Mark is="note">Only a look</Mark>
            <div className="small quiet">
              These days do not follow the last closed period: what the ledger has of them, closed or not.
            </div>
          </>
        )}
      </div>
    </div>
  );
}
