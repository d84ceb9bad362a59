export default function TanksPage() {
  return (
    <div className="page">
      <h1>Tanks</h1>
    </div>
  );
}
