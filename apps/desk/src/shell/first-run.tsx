import { useState } from 'react';
import { queryClient, useDo } from '../data/hub.ts';
import { LabelledInput } from '../field/labelled-input.tsx';
import { UnitsChoice } from '../field/units-choice.tsx';
import { ProblemNote } from '../look/problem-note.tsx';

const START = { fleetName: '', units: 'us' as 'us' | 'metric', currency: 'USD', name: '', email: '', password: '' };

/** The first person at a new office names the fleet and becomes its owner. */
export function FirstRun() {
  const make = useDo('firstOwner');
  const [form, setForm] = useState(START);
  const text = (key: 'fleetName' | 'currency' | 'name' | 'email' | 'password', label: string, more: object = {}) => (
    <LabelledInput
      label={label}
      required
      value={form[key]}
      onText={(typed) => setForm({ ...form, [key]: typed })}
      {...more}
    />
  );
  return (
    <main className="alone">
      <form
        className="panel stack"
        onSubmit={(event) => {
          event.preventDefault();
          make.mutate(
            { body: { ...form, currency: form.currency.trim().toUpperCase() } },
            { onSuccess: () => queryClient.resetQueries() },
          );
        }}
      >
        <h1>A new office</h1>
        <p className="quiet">Name the fleet and make the account of its owner. Both can be changed later.</p>
        {text('fleetName', 'Name of the fleet', { maxLength: 200 })}
        <UnitsChoice value={form.units} choose={(units) => setForm({ ...form, units })} />
        {text('currency', 'Currency', { maxLength: 3, pattern: '[A-Za-z]{3}', title: 'Three letters, such as USD' })}
        {text('name', 'Your name', { autoComplete: 'name', maxLength: 200 })}
        {text('email', 'E-mail', { type: 'email', autoComplete: 'username' })}
        {text('password', 'Password', { type: 'password', autoComplete: 'new-password', minLength: 10 })}
        <p className="small quiet">The password has at least 10 characters.</p>
        {make.error && <ProblemNote problem={make.error.problem} />}
        <button type="submit" className="button main" disabled={make.isPending}>
          Make the office
        </button>
      </form>
    </main>
  );
}
