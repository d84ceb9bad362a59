import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './app.tsx';
import { askAnew } from './data/events.ts';
import { standBy } from './offline/line.ts';
import './look/tokens.css';
import './look/base.css';
import './look/parts.css';
import './shell/shell.css';

const place = document.getElementById('desk');
if (!place) throw new Error('the page has no place for the desk');
createRoot(place).render(
  <StrictMode>
    <App />
  </StrictMode>,
);
standBy(askAnew);
