import { useState } from 'react';
import { queryClient, useDo } from '../data/hub.ts';
import { ProblemNote } from '../look/problem-note.tsx';

export function SignIn() {
  const signIn = useDo('signIn');
  const [email, setEmail] = useState('');
  const [password, setPassword] = useState('');
  return (
    <main className="alone">
      <form
        className="panel stack"
        onSubmit={(event) => {
          event.preventDefault();
          signIn.mutate({ body: { email, password } }, { onSuccess: () => queryClient.resetQueries() });
        }}
      >
        <h1>Sign in</h1>
        <label className="field">
          <span className="field-label">E-mail</span>
          <input
            className="input"
            type="email"
            autoComplete="username"
            required
            value={email}
            onChange={(e) => setEmail(e.target.value)}
          />
        </label>
        <label className="field">
          <span className="field-label">Password</span>
          <input
            className="input"
            type="password"
            autoComplete="current-password"
            required
            value={password}
            onChange={(e) => setPassword(e.target.value)}
          />
        </label>
        {signIn.error && <ProblemNote problem={signIn.error.problem} />}
        <button type="submit" className="button main" disabled={signIn.isPending}>
          Sign in
        </button>
      </form>
    </main>
  );
}
