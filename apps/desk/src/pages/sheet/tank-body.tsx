import {
  type AnyRow,
  BODY_FIELDS,
  type Field,
  type Fleet,
  fieldOf,
  formatValue,
  lengthUnitOf,
  type Tank,
} from '@fillwright/core/fleet';
import { capacityLitres, endDepth, shapeOfTank, type TankShape, wrongShape } from '@fillwright/core/metering';
import { useDraft } from '../../data/draft.ts';
import { RecordEditor } from '../../field/record-editor.tsx';
import { volumeText } from '../../show/amounts.ts';

const OF_BODY: Readonly<Record<Tank['body'], readonly string[]>> = {
  lying: ['diameter', 'length', 'ends', 'fall'],
  standing: ['diameter', 'height', 'ends'],
  box: ['length', 'width', 'height', 'fall'],
};
const OF_ENDS: Readonly<Record<string, readonly string[]>> = {
  elliptical: ['endDepth'],
  dished: ['dishRadius', 'knuckleRadius'],
};

/** Whether a field means anything for this body: the width of a cylinder does not. */
function counts(field: Field, row: AnyRow): boolean {
  const tank = row as unknown as Tank;
  if (field.name === 'body' || field.name === 'chart') return true;
  if (field.name === 'gaugeAt') return tank.body !== 'standing' && tank.fall > 0;
  if (OF_BODY[tank.body].includes(field.name)) return true;
  return tank.body !== 'box' && (OF_ENDS[tank.ends]?.includes(field.name) ?? false);
}

/** A tank's body and strapping table, with a small drawing of what its measures say. */
export function TankBody({ id }: { id: string }) {
  const { fleet } = useDraft();
  const tank = fleet.tanks.get(id);
  if (!tank) return null;
  return (
    <section className="tank-body" aria-label="Body and strapping table">
      <h3>Body and strapping table</h3>
      <Standing tank={tank} fleet={fleet} />
      <RecordEditor table="tanks" id={id} fields={BODY_FIELDS} counts={counts} findings={false} />
    </section>
  );
}

function Standing({ tank, fleet }: { tank: Tank; fleet: Fleet }) {
  const shape = shapeOfTank(tank);
  const field = fieldOf('tanks', 'chart');
  const table = tank.chart && field ? formatValue(field, tank.chart, fleet, { brief: true }) : null;
  return (
    <>
      {shape && !wrongShape(shape) && <BodyDrawing shape={shape} tank={tank} fleet={fleet} />}
      <p className="small quiet">
        {table !== null && `Levels are read by the strapping table: ${table}. `}
        {shape && !wrongShape(shape)
          ? `By its measures it holds ${volumeText(fleet, Math.round(capacityLitres(shape) * 1e6), 0)}.`
          : table === null && 'Without measures or a table a level is shown as the gauge gives it.'}
      </p>
    </>
  );
}

const [WIDE, HIGH, EDGE] = [300, 130, 26];

/** The tank from the side, true to scale but for the fall, which is drawn steeper so that it can be seen. */
function BodyDrawing({ shape, tank, fleet }: { shape: TankShape; tank: Tank; fleet: Fleet }) {
  const words = (name: 'diameter' | 'length' | 'width' | 'height' | 'fall') => {
    const unit = lengthUnitOf(fleet.settings);
    return `${Math.round(((tank[name] ?? 0) / (unit === 'in' ? 25_400 : 1_000)) * 10) / 10} ${unit}`;
  };
  const radius = shape.kind === 'box' ? 0 : shape.diameterMm / 2;
  const bulge =
    shape.kind === 'box' ? 0 : endDepth(shape.kind === 'lying cylinder' ? shape.near : shape.bottom, radius);
  const standing = shape.kind === 'standing cylinder';
  const across = standing ? shape.diameterMm : shape.lengthMm + 2 * bulge;
  const down = shape.kind === 'lying cylinder' ? shape.diameterMm : shape.heightMm + (standing ? 2 * bulge : 0);
  const scale = Math.min((WIDE - 2 * EDGE) / across, (HIGH - 2 * EDGE) / down);
  const [w, h, b] = [across * scale, down * scale, bulge * scale];
  const [x, y] = [(WIDE - w) / 2, (HIGH - h) / 2];
  const tilt = standing ? undefined : shape.tilt;
  const outline = standing
    ? `M${x} ${y + b} Q${x} ${y} ${x + w / 2} ${y} T${x + w} ${y + b} V${y + h - b} Q${x + w} ${y + h} ${x + w / 2} ${y + h} T${x} ${y + h - b} Z`
    : `M${x + b} ${y} H${x + w - b} Q${x + w} ${y} ${x + w} ${y + h / 2} T${x + w - b} ${y + h} H${x + b} Q${x} ${y + h} ${x} ${y + h / 2} T${x + b} ${y} Z`;
  const gauge = tilt ? x + b + tilt.gaugeMm * scale : x + w / 2;
  const [along, up] = standing
    ? (['diameter', 'height'] as const)
    : (['length', shape.kind === 'box' ? 'height' : 'diameter'] as const);
  const name = { 'lying cylinder': 'Lying cylinder', 'standing cylinder': 'Standing cylinder', box: 'Box' }[shape.kind];
  const said = `${name}, ${along} ${words(along)}, ${up} ${words(up)}${shape.kind === 'box' ? `, width ${words('width')}` : `, ends ${tank.ends}`}${tilt ? `, far end ${words('fall')} lower` : ''}`;
  return (
    <svg className="body-drawing" viewBox={`0 0 ${WIDE} ${HIGH}`} role="img" aria-label={said}>
      <g transform={tilt ? `rotate(2 ${WIDE / 2} ${HIGH / 2})` : undefined}>
        <path className="outline" d={outline} />
        {bulge > 0 && (
          <path
            className="seam"
            d={
              standing
                ? `M${x} ${y + b} H${x + w} M${x} ${y + h - b} H${x + w}`
                : `M${x + b} ${y} V${y + h} M${x + w - b} ${y} V${y + h}`
            }
          />
        )}
        <path className="probe" d={`M${gauge} ${y - 7} V${y + h - 2}`} />
      </g>
      <text x={WIDE / 2} y={HIGH - 6} textAnchor="middle">
        {words(along)}
        {tilt && `, falls ${words('fall')}`}
      </text>
      <text x={12} y={HIGH / 2} textAnchor="middle" transform={`rotate(-90 12 ${HIGH / 2})`}>
        {words(up)}
      </text>
    </svg>
  );
}
