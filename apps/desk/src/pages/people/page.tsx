export default function PeoplePage() {
  return (
    <div className="page">
      <h1>People</h1>
    </div>
  );
}
