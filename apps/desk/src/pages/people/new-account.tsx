import type { Role } from '@fillwright/wire';
import { useState } from 'react';
import { useDo } from '../../data/index.ts';
import { Choice } from '../../field/choice.tsx';
import { ProblemNote } from '../../look/problem-note.tsx';
import { ROLES } from './roles.ts';

const START = { name: '', email: '', role: 'viewer' as Role, password: '' };

export function NewAccount() {
  const add = useDo('addAccount');
  const [form, setForm] = useState(START);
  return (
    <form
      className="panel stack"
      onSubmit={(event) => {
        event.preventDefault();
        add.mutate({ body: form }, { onSuccess: () => setForm(START) });
      }}
    >
      <h2>Let somebody sign in</h2>
      <div className="people-form">
        <label className="field">
          <span className="field-label">Name</span>
          <input
            className="input"
            required
            maxLength={200}
            autoComplete="off"
            value={form.name}
            onChange={(e) => setForm({ ...form, name: e.target.value })}
          />
        </label>
        <label className="field">
          <span className="field-label">E-mail</span>
          <input
            className="input"
            type="email"
            required
            autoComplete="off"
            value={form.email}
            onChange={(e) => setForm({ ...form, email: e.target.value })}
          />
        </label>
        <Choice
          label="Role"
          items={(Object.keys(ROLES) as Role[]).map((role) => [role, ROLES[role].label])}
          value={form.role}
          choose={(role) => setForm({ ...form, role })}
        />
        <label className="field">
          <span className="field-label">First password</span>
          <input
            className="input"
            type="password"
            required
            minLength={10}
            autoComplete="new-password"
            title="At least 10 characters"
            value={form.password}
            onChange={(e) => setForm({ ...form, password: e.target.value })}
          />
        </label>
      </div>
      {add.error && <ProblemNote problem={add.error.problem} />}
      <div>
        <button type="submit" className="button main" disabled={add.isPending}>
          Add account
        </button>
      </div>
    </form>
  );
}
