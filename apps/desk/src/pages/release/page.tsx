export default function ReleasePage() {
  return (
    <div className="page">
      <h1>Release</h1>
    </div>
  );
}
