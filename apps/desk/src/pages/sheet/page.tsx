export default function SheetPage() {
  return (
    <div className="page">
      <h1>Sheet</h1>
    </div>
  );
}
