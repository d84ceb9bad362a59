import type { Settings } from '@fillwright/core/fleet';
import type { ReactNode } from 'react';
import { Choice, type Items } from './choice.tsx';

const UNITS: Items<Settings['units']> = [
  ['us', 'US gallons, °F, inches, miles'],
  ['metric', 'Litres, °C, millimetres, kilometres'],
];

/** In which units people of a fleet see quantities. */
export const UnitsChoice = (props: {
  value: Settings['units'];
  choose: (units: Settings['units']) => void;
  disabled?: boolean;
  children?: ReactNode;
}) => <Choice label="Units" items={UNITS} {...props} />;
