export default function BenchPage() {
  return (
    <div className="page">
      <h1>Bench</h1>
    </div>
  );
}
