import { LANGUAGE_NAMES, type LayoutField } from '../fleet/index.ts';
import type { Language, ScreenName } from './types.ts';

/**
 * What a driver reads. `{name}` is filled in. English is the original; Spanish and French were translated by us and no native speaker
 * has reviewed them: `REVIEWED` says so and the terminal's page shows it to whoever sets a site up.
 */
export const LANGUAGES: Readonly<Record<Language, string>> = LANGUAGE_NAMES;
export const REVIEWED: Readonly<Record<Language, boolean>> = { en: true, es: false, fr: false };

type Words = Readonly<Record<Language, string>>;
const w = (en: string, es: string, fr: string): Words => ({ en, es, fr });

export const SCREENS: Readonly<Record<ScreenName, Words>> = {
  idle: w('Present your card', 'Presente su tarjeta', 'Présentez votre carte'),
  wait: w('One moment', 'Un momento', 'Un instant'),
  card: w('Now present {of}', 'Ahora presente {of}', 'Présentez maintenant {of}'),
  misread: w('Not read. Try again', 'No leída. Otra vez', 'Non lue. Réessayez'),
  pin: w('Key your PIN', 'Marque su PIN', 'Composez votre PIN'),
  pinWrong: w('Wrong PIN. Try again', 'PIN incorrecto. Otra vez', 'PIN faux. Réessayez'),
  question: w('{prompt}', '{prompt}', '{prompt}'),
  choose: w('Choose a hose', 'Elija una manguera', 'Choisissez un tuyau'),
  busy: w('Hose {number}: {why}', 'Manguera {number}: {why}', 'Tuyau {number} : {why}'),
  authorised: w(
    'Lift nozzle {number}. Up to {limit}',
    'Levante la pistola {number}. Hasta {limit}',
    'Décrochez le pistolet {number}. Jusqu’à {limit}',
  ),
  flowing: w('Hose {number}: fuel flows', 'Manguera {number}: fluye', 'Tuyau {number} : en cours'),
  filled: w('Hose {number}: filled', 'Manguera {number}: cargado', 'Tuyau {number} : terminé'),
  refused: w('No fuel: {why}', 'Sin combustible: {why}', 'Pas de carburant : {why}'),
  out: w('Out of service: {why}', 'Fuera de servicio: {why}', 'Hors service : {why}'),
  receipt: w('Take your receipt', 'Tome su recibo', 'Prenez votre reçu'),
  noReceipt: w('No receipt here', 'No hay recibo', 'Pas de reçu'),
};

/** Whose credential is asked for. */
export const WHOSE: Readonly<Record<string, Words>> = {
  driver: w('your own card', 'su propia tarjeta', 'votre propre carte'),
  vehicle: w('the vehicle’s card', 'la tarjeta del vehículo', 'la carte du véhicule'),
  either: w('a card', 'una tarjeta', 'une carte'),
};

/** Why: rules of the decision, the site's own reasons, blocks and holds. Kept short for small displays. */
export const REASONS: Readonly<Record<string, Words>> = {
  'site-known': w('site not in service', 'sitio fuera de servicio', 'site hors service'),
  'hose-known': w('hose not in service', 'manguera fuera de servicio', 'tuyau hors service'),
  'hose-terminal': w('use the other terminal', 'use el otro terminal', 'utilisez l’autre borne'),
  'card-known': w('card not known', 'tarjeta desconocida', 'carte inconnue'),
  'card-stopped': w('card stopped', 'tarjeta bloqueada', 'carte bloquée'),
  'card-dates': w('card not valid today', 'tarjeta no vigente', 'carte non valable'),
  'cards-agree': w('cards do not belong together', 'las tarjetas no coinciden', 'cartes non concordantes'),
  'holder-active': w('not active', 'no activo', 'non actif'),
  'holder-dates': w('not valid today', 'no vigente hoy', 'non valable aujourd’hui'),
  'holder-site': w('not at this site', 'no en este sitio', 'pas sur ce site'),
  identified: w('another card is needed', 'falta otra tarjeta', 'il faut une autre carte'),
  pin: w('PIN needed', 'falta el PIN', 'PIN requis'),
  pinLocked: w('PIN locked, wait', 'PIN bloqueado, espere', 'PIN bloqué, attendez'),
  pinNotSet: w('no PIN set, ask the office', 'sin PIN, pregunte en la oficina', 'pas de PIN, voyez le bureau'),
  'site-open': w('site closed today', 'sitio cerrado hoy', 'site fermé aujourd’hui'),
  question: w('answer not accepted', 'respuesta no válida', 'réponse refusée'),
  allowance: w('no allowance', 'sin asignación', 'pas d’allocation'),
  'allowance-product': w('not this product', 'este producto no', 'pas ce produit'),
  'allowance-site': w('not at this site', 'no en este sitio', 'pas sur ce site'),
  'allowance-time': w('not at this time', 'no a esta hora', 'pas à cette heure'),
  'allowance-cut-off': w('office not reachable', 'sin enlace con la oficina', 'bureau injoignable'),
  'fills-per-day': w('no more fills today', 'no más cargas hoy', 'plus de pleins aujourd’hui'),
  'per-fill': w('nothing left', 'no queda saldo', 'plus rien'),
  'per-day': w('nothing left today', 'nada más por hoy', 'plus rien aujourd’hui'),
  'per-week': w('nothing left this week', 'nada más esta semana', 'plus rien cette semaine'),
  'per-month': w('nothing left this month', 'nada más este mes', 'plus rien ce mois'),
  'hose-most': w('too little to give', 'cantidad muy pequeña', 'quantité trop faible'),
  'vehicle-tank': w('too little to give', 'cantidad muy pequeña', 'quantité trop faible'),
  tooLittle: w('too little to give', 'cantidad muy pequeña', 'quantité trop faible'),
  noAnswer: w('no answer, try again', 'sin respuesta, otra vez', 'pas de réponse, réessayez'),
  noAnswerInTime: w('no answer in time', 'sin respuesta a tiempo', 'pas de réponse à temps'),
  journal: w('cannot be recorded now', 'no se puede registrar', 'enregistrement impossible'),
  cancelled: w('cancelled', 'cancelado', 'annulé'),
  inUse: w('in use', 'en uso', 'occupé'),
  nozzleOut: w('hang up the nozzle first', 'cuelgue la pistola', 'raccrochez le pistolet'),
  eStop: w('emergency stop', 'parada de emergencia', 'arrêt d’urgence'),
  mains: w('no mains', 'sin corriente', 'pas de courant'),
  closed: w('closed', 'cerrado', 'fermé'),
  clock: w('clock not right', 'reloj incorrecto', 'horloge fausse'),
  tankLow: w('tank low', 'tanque bajo', 'cuve basse'),
  water: w('tank closed', 'tanque cerrado', 'cuve fermée'),
  probe: w('tank closed', 'tanque cerrado', 'cuve fermée'),
  device: w('dispenser fault', 'fallo del surtidor', 'panne du distributeur'),
  service: w('out of service', 'fuera de servicio', 'hors service'),
  doubt: w('being looked at', 'en revisión', 'en vérification'),
  stray: w('being looked at', 'en revisión', 'en vérification'),
  valve: w('being looked at', 'en revisión', 'en vérification'),
};

/** The name of a field beside its value. */
export const FIELD_WORDS: Readonly<Record<LayoutField, Words>> = {
  says: w('', '', ''),
  site: w('Site', 'Sitio', 'Site'),
  address: w('Address', 'Dirección', 'Adresse'),
  terminal: w('Terminal', 'Terminal', 'Borne'),
  limit: w('Up to', 'Hasta', 'Jusqu’à'),
  odometer: w('Odometer', 'Odómetro', 'Odomètre'),
  hours: w('Engine hours', 'Horas de motor', 'Heures moteur'),
  job: w('Job', 'Trabajo', 'Chantier'),
  hose: w('Hose', 'Manguera', 'Tuyau'),
  product: w('Product', 'Producto', 'Produit'),
  quantity: w('Quantity', 'Cantidad', 'Quantité'),
  price: w('Price', 'Precio', 'Prix'),
  amount: w('Amount', 'Importe', 'Montant'),
  driver: w('Driver', 'Conductor', 'Conducteur'),
  vehicle: w('Vehicle', 'Vehículo', 'Véhicule'),
  fill: w('Fill', 'Carga', 'Plein'),
  time: w('Time', 'Hora', 'Heure'),
};

/** Fills the `{names}` of a text; one that is not given stays as it is, so that a mistake is seen. */
export const fillIn = (text: string, data: Readonly<Record<string, string | number>>): string =>
  text.replace(/\{(\w+)\}/g, (all, name: string) => String(data[name] ?? all));

/** The words of a reason; a reason without words is shown as it is. */
export const reasonWords = (reason: string, language: Language): string => REASONS[reason]?.[language] ?? reason;
