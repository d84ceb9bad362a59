export default function FindingsPage() {
  return (
    <div className="page">
      <h1>Findings</h1>
    </div>
  );
}
