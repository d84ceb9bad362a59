export default function PolicyPage() {
  return (
    <div className="page">
      <h1>Policy</h1>
    </div>
  );
}
