export default function RosterPage() {
  return (
    <div className="page">
      <h1>Roster</h1>
    </div>
  );
}
