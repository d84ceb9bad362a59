export default function ImportPage() {
  return (
    <div className="page">
      <h1>Import</h1>
    </div>
  );
}
