export default function LedgerPage() {
  return (
    <div className="page">
      <h1>Ledger</h1>
    </div>
  );
}
